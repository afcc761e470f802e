"""State of one group, brought up to its log before it is read. A reading is never older than the log.

Every function needs a transaction that writes: it holds the group's counter, so that nobody appends meanwhile.
"""

from sqlalchemy import Connection, literal, select, update

from server.database.entries import lock_group
from server.database.tables import GROUP_COUNTER
from shared_models.season_records import SeasonRecords
from shared_models.store import season_keys as keys
from shared_models.store import state
from shared_models.store.tables import ENTRY, TOUCHED
from shared_models.store.timing_ground import timing_ground
from shared_models.store.upserts import insert_new
from shared_models.timing.ground import TimingGround


def season_records(connection: Connection, group: str, season_key: str) -> SeasonRecords:
    """The records of one season; ValueError where the key names none."""
    bring_up_to_log(connection, group)
    return state.season_records(connection, group, season_key)


def season_ground(connection: Connection, group: str, season_key: str) -> TimingGround:
    """What the timing of a season is made of; ValueError where the key names none."""
    bring_up_to_log(connection, group)
    return timing_ground(connection, group, season_key)


def season_keys(connection: Connection, group: str) -> list[str]:
    """The seasons that the group has anything for, in order."""
    bring_up_to_log(connection, group)
    return keys.season_keys(connection, group)


def bring_up_to_log(connection: Connection, group: str) -> int:
    """Fold what came since the last time; returns how many records were folded anew."""
    newest = lock_group(connection, group).newest
    _touch_unfolded(connection, group)
    records = state.refold_touched(connection, group)
    _note_folded(connection, group, newest)
    return records


def rebuild(connection: Connection, group: str) -> int:
    """Throw the state of a group away and fold it anew from the log; returns the number of records."""
    newest = lock_group(connection, group).newest
    records = state.rebuild(connection, group)
    _note_folded(connection, group, newest)
    return records


def _touch_unfolded(connection: Connection, group: str) -> None:
    """Note the records of all entries numbered since the last folding."""
    folded = select(GROUP_COUNTER.c.folded).where(GROUP_COUNTER.c.group_id == group).scalar_subquery()
    unfolded = select(literal(group), ENTRY.c.rec).where(ENTRY.c.group_id == group, ENTRY.c.seq > folded)
    connection.execute(insert_new(connection, TOUCHED).from_select(["group_id", "rec"], unfolded.distinct()))


def _note_folded(connection: Connection, group: str, newest: int) -> None:
    connection.execute(update(GROUP_COUNTER).where(GROUP_COUNTER.c.group_id == group).values(folded=newest))

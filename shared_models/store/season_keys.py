"""Which seasons a group has anything for, on a connection that somebody else opened. Writes nothing."""

from sqlalchemy import Connection, select

from shared_models.records.fields import Happening
from shared_models.records.gardens import Garden
from shared_models.records.kinds import KINDS, record_of
from shared_models.seasons import season_of
from shared_models.store import state
from shared_models.store.tables import RECORD
from shared_models.when import parse_when

_HAPPENINGS = sorted(name for name, kind in KINDS.items() if issubclass(kind, Happening))


def season_keys(connection: Connection, group: str) -> list[str]:
    """The seasons that anything was recorded for, in order; the caller has called `refold_touched`.

    A group with gardens on both halves of the earth may be given a season in which one half has nothing.
    """
    live = RECORD.c.group_id == group, RECORD.c.deleted.is_(False)
    by_hand = connection.execute(
        select(RECORD.c.season).where(*live, RECORD.c.season.is_not(None)).distinct()
    )
    dated = RECORD.c.day.is_not(None), RECORD.c.season.is_(None), RECORD.c.kind.in_(_HAPPENINGS)
    texts = connection.execute(select(RECORD.c.day).where(*live, *dated).distinct()).scalars()
    days = [day for day in (parse_when(text).first for text in texts) if day]
    gardens = map(record_of, state.of_kinds(connection, group, [Garden.kind]))
    halves = {garden.hemisphere for garden in gardens if isinstance(garden, Garden)}
    return sorted({season_of(day, half) for day in days for half in halves} | set(by_hand.scalars()))

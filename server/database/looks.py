"""What a group's people have to decide, read from state that is brought up to the log. Needs a transaction that writes."""

from sqlalchemy import Connection

from server.database.season import bring_up_to_log
from shared_models.blind_edits import BlindEdit
from shared_models.season.double_counts import DoubleCount
from shared_models.store import looks


def open_looks(connection: Connection, group: str) -> tuple[list[BlindEdit], list[DoubleCount]]:
    """Blind edits and traps counted twice that nobody has decided."""
    bring_up_to_log(connection, group)
    claims = looks.shared_claims(connection, group)
    return looks.open_blind_edits(connection, group), looks.open_double_counts(connection, group, claims)

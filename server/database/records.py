"""The folded records of one group, for services that compare them. Needs a transaction that writes: state follows the log."""

from typing import TypeVar

from sqlalchemy import Connection, func, select

from server.database.season import bring_up_to_log
from shared_models.fold import FoldedRecord
from shared_models.records.fields import Record
from shared_models.records.kinds import record_of
from shared_models.store import state
from shared_models.store.tables import ENTRY

R = TypeVar("R", bound=Record)


class GroupRecords:
    """The records of a group as they are now; good as long as its transaction."""

    def __init__(self, connection: Connection, group: str) -> None:
        bring_up_to_log(connection, group)
        self._connection = connection
        self._group = group

    def all(self, kind: type[R]) -> list[R]:
        """The live records of a kind, by id."""
        found = state.of_kinds(self._connection, self._group, [kind.kind])
        return [record for record in map(record_of, found) if isinstance(record, kind)]

    def folded(self, rec: str) -> FoldedRecord | None:
        """One record, undone or not; None where the group has none of that id."""
        return state.find(self._connection, self._group, rec)

    def newest_stamp(self) -> str | None:
        """The greatest stamp of the group's entries; None where it has none."""
        newest = select(func.max(ENTRY.c.stamp)).where(ENTRY.c.group_id == self._group)
        stamp: str | None = self._connection.execute(newest).scalar_one()
        return stamp

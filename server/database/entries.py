"""The log of one group on the server: dense numbers without a gap, whoever writes at the same time. No verdicts.

"A number is given under the group's lock and becomes visible in the order of numbers."
With a serial number, a transaction that took 11 may commit after one that took 12, and a reader that saw 12 never
sees 11. Here the counter row of the group is locked first, for the whole transaction.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from sqlalchemy import Connection, select, update

from server.database.tables import GROUP_COUNTER
from shared_models.entries import SealedEntry
from shared_models.errors import NotAllowedError
from shared_models.language import say
from shared_models.store import entry_log
from shared_models.store.entry_log import LoggedEntry
from shared_models.store.tables import ENTRY


@dataclass(frozen=True, slots=True)
class Page:
    """The entries after a number, in order, and the newest number of the group."""

    entries: list[LoggedEntry]
    newest: int


@dataclass(frozen=True, slots=True)
class Known:
    """An entry that the log of the group holds."""

    seq: int
    hash: str


def lock_group(connection: Connection, group: str) -> int:
    """Hold the group's counter until the transaction ends; returns the newest number. Comes before any reading."""
    counter = GROUP_COUNTER.c
    locking = update(GROUP_COUNTER).where(counter.group_id == group).values(seq=counter.seq + 0)
    newest: int | None = connection.execute(locking.returning(counter.seq)).scalar_one_or_none()
    if newest is None:
        raise NotAllowedError(say("This group is not on this server any more; ask its coordinator."))
    return newest


class LockedLog:
    """The log of a group inside a transaction that writes; numbers go on from the newest."""

    def __init__(self, connection: Connection, group: str) -> None:
        self._connection = connection
        self._group = group
        self.newest = lock_group(connection, group)

    def known(self, ids: Sequence[str]) -> dict[str, Known]:
        """Those of these ids that the group has. Another group's ids are simply not there."""
        found = {}
        for part in entry_log.chunks(ids):
            columns = select(ENTRY.c.id, ENTRY.c.seq, ENTRY.c.hash)
            here = columns.where(ENTRY.c.group_id == self._group, ENTRY.c.id.in_(part))
            found.update({row[0]: Known(row[1], row[2]) for row in self._connection.execute(here)})
        return found

    def append(self, entries: Sequence[SealedEntry], received_at: str, via_device: str) -> None:
        """Add entries that are not known; they get the next numbers, in this order.

        State is left as it is: everything numbered above the counter's `folded` is folded before state is read.
        """
        if not entries:
            return
        rows = [
            (
                self._group,
                one.entry.id,
                seq,
                one.entry.rec,
                one.entry.kind,
                one.entry.stamp,
                one.hash,
                one.body,
                False,
                received_at,
                via_device,
            )
            for seq, one in enumerate(entries, self.newest + 1)
        ]
        self._connection.exec_driver_sql(_insert_entry(self._connection.dialect.name), rows)
        self.newest += len(entries)
        counter = GROUP_COUNTER.c
        moved = update(GROUP_COUNTER).where(counter.group_id == self._group).values(seq=self.newest)
        self._connection.execute(moved)


@cache
def _insert_entry(dialect: str) -> str:
    """The statement for the driver itself: building each row's parameters would cost more than writing the row."""
    columns = "group_id, id, seq, rec, kind, stamp, hash, body, aside, received_at, via_device"
    place = "?" if dialect == "sqlite" else "%s"
    return f"INSERT INTO {ENTRY.name} ({columns}) VALUES ({', '.join([place] * len(columns.split(', ')))})"


def page(connection: Connection, group: str, since: int, limit: int) -> Page:
    """The next entries after a number. The counter is read last, so that it is never behind the entries."""
    entries = entry_log.page(connection, group, since, limit)
    newest = select(GROUP_COUNTER.c.seq).where(GROUP_COUNTER.c.group_id == group)
    return Page(entries, connection.execute(newest).scalar_one_or_none() or 0)

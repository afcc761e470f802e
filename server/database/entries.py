"""The log of one group on the server: dense numbers without a gap, whoever writes at the same time. No verdicts.

"A number is given under the group's lock and becomes visible in the order of numbers."
With a serial number, a transaction that took 11 may commit after one that took 12, and a reader that saw 12 never
sees 11. Here the counter row of the group is locked first, for the whole transaction.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, select

from server.database.arrivals import Arrival
from server.database.driver_sql import insert_entries, known_entries, lock_counter, note_receipt
from server.database.tables import GROUP_COUNTER
from shared_models.digest import NOTHING, added
from shared_models.errors import NotAllowedError
from shared_models.language import say
from shared_models.store.tables import ENTRY


@dataclass(frozen=True, slots=True)
class Page:
    """Number and body of the entries after a number, in order, and where the group's log stands."""

    entries: Sequence[tuple[int, str]]
    counter: "Counter"


@dataclass(slots=True)  # not frozen: one is made for every entry, and freezing costs as much again
class Known:
    """An entry that the log of the group holds."""

    seq: int
    hash: str


@dataclass(frozen=True, slots=True)
class Counter:
    """Where a group's log stands: newest number, epoch of its numbers, digest of its entries, recovering or not."""

    newest: int
    epoch: str
    digest: str
    recovering: bool = False


def lock_group(connection: Connection, group: str) -> Counter:
    """Hold the group's counter until the transaction ends. Comes before any reading."""
    found = lock_counter(connection, group)
    if found is None:
        raise NotAllowedError(say("This group is not on this server any more; ask its coordinator."))
    return Counter(found.seq, found.epoch, found.digest, bool(found.recovering))


class LockedLog:
    """The log of a group inside a transaction that writes; numbers go on from the newest."""

    def __init__(self, connection: Connection, group: str) -> None:
        self._connection = connection
        self._group = group
        self.counter = lock_group(connection, group)
        self.newest = self.counter.newest

    def known(self, ids: list[str]) -> dict[str, Known]:
        """Those of these ids that the group has. Another group's ids are simply not there."""
        found = known_entries(self._connection, self._group, ids)
        return {entry_id: Known(seq, known_hash) for entry_id, seq, known_hash in found}

    def append(self, entries: Sequence[Arrival], received_at: str, via_device: str) -> None:
        """Add entries that are not known; they get the next numbers, in this order.

        State is left as it is: everything numbered above the counter's `folded` is folded before state is read.
        """
        if not entries:
            return
        first = self.newest + 1
        insert_entries(self._connection, self._group, first, entries)
        self.newest += len(entries)
        digest = added(self.counter.digest, [one.hash for one in entries])
        note_receipt(self._connection, self._group, (first, self.newest), digest, received_at, via_device)


def page(connection: Connection, group: str, since: int, limit: int) -> Page:
    """The next entries after a number, up to where the counter stood, which is read first: all of it is one moment."""
    counter = counter_of(connection, group)
    asked = {"of_group": group, "since": since, "newest": counter.newest, "most": limit}
    entries = [(seq, body) for seq, body in connection.execute(_PAGE, asked).all()]
    return Page(entries, counter)


def counter_of(connection: Connection, group: str) -> Counter:
    """Where the group's log stands, without holding it."""
    found = connection.execute(_WHERE_IT_STANDS, {"of_group": group}).one_or_none()
    return Counter(found.seq, found.epoch, found.digest, bool(found.recovering)) if found else _NO_LOG


# Built once: making such a statement anew costs a multiple of running it.
_COUNTER = GROUP_COUNTER.c
_OF_GROUP = _COUNTER.group_id == bindparam("of_group")
_BETWEEN = ENTRY.c.seq > bindparam("since"), ENTRY.c.seq <= bindparam("newest")
_NUMBERED = ENTRY.c.group_id == bindparam("of_group"), *_BETWEEN
_PAGE = select(ENTRY.c.seq, ENTRY.c.body).where(*_NUMBERED).order_by(ENTRY.c.seq).limit(bindparam("most"))
_WHERE_IT_STANDS = select(_COUNTER.seq, _COUNTER.epoch, _COUNTER.digest, _COUNTER.recovering).where(_OF_GROUP)
_NO_LOG = Counter(0, "", NOTHING)

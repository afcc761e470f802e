"""The group's entries, page by page, each page one transaction with the cursor in it. Knows no network.

"The cursor moves with the data or not at all." What this app cannot read yet is kept as it came, unfolded, and
looked at again at the next start.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pydantic import ValidationError
from sqlalchemy import select

from mobile.storage import facts
from mobile.storage.database import Database, Line
from mobile.storage.facts import Fact
from mobile.storage.numbering import NumbersChangedError, number, refuse_contradiction, start_over
from mobile.storage.outgoing import leave
from mobile.storage.own_tables import ASIDE
from mobile.storage.received import Received, is_readable, newest_stamp, received_page
from mobile.storage.touch import TouchStatements, last_stamp
from shared_models.entries import read_entry
from shared_models.protocol import PullReply
from shared_models.store import entry_log, state
from shared_models.store.entry_log import Receipt
from shared_models.store.tables import ENTRY, OWN_GROUP


class PageFate(StrEnum):
    """What became of a page: taken, or dropped because the cursor had moved meanwhile."""

    TAKEN = "taken"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True)
class PageTaken:
    """The fate of a page and how many of its entries were new here."""

    fate: PageFate
    new: int = 0


class Incoming:
    """The way of the group's entries into this phone."""

    def __init__(self, database: Database, statements: TouchStatements) -> None:
        self._database = database
        self._statements = statements

    def cursor(self) -> int:
        """The number up to which the group's entries are here."""
        with self._database.reading() as core:
            return int(facts.read(core, Fact.CURSOR) or 0)

    def take(self, page: PullReply) -> PageTaken:
        """Take one page, all of it or nothing. It begins at the cursor, or with the entry that the cursor stands on.

        NotReachableError where it has a hole, NumbersChangedError where the server contradicts itself.
        """
        received = received_page(page)
        with self._database.writing() as line:
            cursor = int(facts.read(line.core, Fact.CURSOR) or 0)
            if page.max < cursor:
                raise NumbersChangedError
            if page.since not in (cursor, cursor - 1):
                return PageTaken(PageFate.DROPPED)
            new = self._merge(line, received)
            facts.note(line.core, {Fact.CURSOR: str(max(cursor, page.to))})
            return PageTaken(PageFate.TAKEN, new)

    def start_over(self) -> None:
        """Send and fetch everything again, as after the server was put back."""
        with self._database.writing() as line:
            start_over(line)

    def read_again(self) -> None:
        """Fold what an earlier version of this app could not read and this one can."""
        with self._database.writing() as line:
            unread = select(ENTRY.c.id, ENTRY.c.rec, ENTRY.c.body).where(ASIDE, ENTRY.c.seq.is_not(None))
            for entry_id, rec, body in line.core.execute(unread).all():
                if _can_be_read(body):
                    entry_log.set_aside(line.core, OWN_GROUP, entry_id, rec, False)
            state.refold_touched(line.core, OWN_GROUP)

    def _merge(self, line: Line, received: list[Received]) -> int:
        if not received:
            return 0
        numbers = {one.id: one.seq for one in received}
        known = entry_log.known(line.core, OWN_GROUP, list(numbers))
        new = [one for one in received if one.id not in known]
        refuse_contradiction(line, numbers)
        _append(line, new)
        _recognise(line, [one for one in received if one.id in known and known[one.id].seq is None])
        state.refold_touched(line.core, OWN_GROUP)
        stamp = max(last_stamp(line.driver), newest_stamp(received))
        self._statements.note_stamp(line.driver, stamp)
        return len(new)


def _append(line: Line, new: Sequence[Received]) -> None:
    entry_log.append(line.core, OWN_GROUP, [one.sealed for one in new], [Receipt(one.seq) for one in new])
    for one in new:
        if not one.readable:
            entry_log.set_aside(line.core, OWN_GROUP, one.id, one.sealed.entry.rec, True)


def _recognise(line: Line, own: Sequence[Received]) -> None:
    """Entries of this phone whose answer was lost, or that were held back and mended: the group has them."""
    number(line, {one.id: one.seq for one in own})
    leave(line, [one.id for one in own])
    readable = {one.id: one.sealed.entry.rec for one in own if one.readable}
    for part in entry_log.chunks(list(readable)):
        for entry_id in line.core.execute(select(ENTRY.c.id).where(ASIDE, ENTRY.c.id.in_(part))).scalars():
            entry_log.set_aside(line.core, OWN_GROUP, entry_id, readable[entry_id], False)


def _can_be_read(body: str) -> bool:
    try:
        return is_readable(read_entry(body))
    except ValidationError:
        return False

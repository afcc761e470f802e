"""The group's entries, page by page, each page one transaction with the cursor in it. Knows no network.

"The cursor moves with the data or not at all." What this app cannot read yet is kept as it came, unfolded, and
looked at again at the next start.
"""

from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import func, select

from mobile.storage import facts
from mobile.storage.database import Database
from mobile.storage.facts import Fact
from mobile.storage.legible import can_be_folded
from mobile.storage.numbering import NumbersChangedError, start_over
from mobile.storage.outbox import UNREAD
from mobile.storage.page_merge import merge
from mobile.storage.received import received_page
from mobile.storage.touch import TouchStatements
from shared_models.digest import NOTHING
from shared_models.protocol import PullReply
from shared_models.store import entry_log, state
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

    def epoch(self) -> str:
        """The epoch of the group's numbers as this phone knows it; empty where it knows none."""
        with self._database.reading() as core:
            return facts.read(core, Fact.EPOCH) or ""

    def take(self, page: PullReply) -> PageTaken:
        """Take one page, all of it or nothing. It begins at the cursor, or with the entry that the cursor stands on.

        NotReachableError where it has a hole, NumbersChangedError where the server contradicts itself.
        """
        received = received_page(page)
        with self._database.writing() as line:
            cursor = int(facts.read(line.core, Fact.CURSOR) or 0)
            if page.epoch != (facts.read(line.core, Fact.EPOCH) or page.epoch):
                return PageTaken(PageFate.DROPPED)  # of before or after; the server says which of them it is
            if page.max < cursor:
                raise NumbersChangedError
            if page.since not in (cursor, cursor - 1):
                return PageTaken(PageFate.DROPPED)
            new = merge(line, self._statements, received)
            facts.note(line.core, {Fact.CURSOR: str(max(cursor, page.to)), Fact.EPOCH: page.epoch})
            return PageTaken(PageFate.TAKEN, new)

    def greatest_number(self) -> int:
        """The greatest number of any entry here; entries that were just pushed have one beyond the cursor."""
        with self._database.reading() as core:
            greatest = select(func.max(ENTRY.c.seq)).where(ENTRY.c.group_id == OWN_GROUP)
            return core.execute(greatest).scalar_one() or 0

    def agrees_with(self, page: PullReply) -> bool:
        """Whether phone and server hold the same entries, now that the last page is here."""
        with self._database.reading() as core:
            return (facts.read(core, Fact.DIGEST) or NOTHING) == page.digest

    def start_over(self, epoch: str | None = None) -> None:
        """Send and fetch everything again, as after the server was put back."""
        with self._database.writing() as line:
            start_over(line, epoch)

    def read_again(self) -> None:
        """Fold what an earlier version of this app could not read and this one can."""
        with self._database.writing() as line:
            unread = select(ENTRY.c.id, ENTRY.c.rec, ENTRY.c.body).where(UNREAD)
            for entry_id, rec, body in line.core.execute(unread).all():
                if can_be_folded(body):
                    entry_log.set_aside(line.core, OWN_GROUP, entry_id, rec, False)
            state.refold_touched(line.core, OWN_GROUP)

"""The group's dense numbers on this phone's entries, and starting over when the server numbers anew. Knows no network.

A server that was put back from a backup gives numbers again that it had given before. Merging is the union by
id, so the cure is always safe: forget the numbers, send everything again, fetch everything again.
"""

from collections.abc import Sequence

from sqlalchemy import select, update

from mobile.storage import facts
from mobile.storage.database import Line
from mobile.storage.facts import Fact
from mobile.storage.outbox import Waits
from shared_models.errors import PomewardError
from shared_models.language import say
from shared_models.store import entry_log
from shared_models.store.tables import ENTRY, OWN_GROUP

_ALL_WAIT = "INSERT OR IGNORE INTO outbox (id, rec, kind, state) SELECT id, rec, kind, ? FROM entry WHERE group_id = ?"


class NumbersChangedError(PomewardError):
    """The server's numbers contradict those that it gave before; start over."""

    def __init__(self) -> None:
        super().__init__(
            say(
                "The server was put back to an earlier state. Everything on this phone is kept and will be "
                "sent to it again."
            )
        )


def number(line: Line, numbers: dict[str, int]) -> None:
    """Give entries that are here their numbers; NumbersChangedError where that contradicts an earlier one."""
    if numbers:
        refuse_contradiction(line, numbers, numbers_here(line, list(numbers)))
        entry_log.set_number(line.core, OWN_GROUP, numbers)


def numbers_here(line: Line, ids: Sequence[str]) -> dict[str, int | None]:
    """The number of each of these entries that is here; None while it is not shared."""
    columns = select(ENTRY.c.id, ENTRY.c.seq).where(ENTRY.c.group_id == OWN_GROUP)
    found: dict[str, int | None] = {}
    for part in entry_log.chunks(ids):
        found.update(
            (entry_id, seq) for entry_id, seq in line.core.execute(columns.where(ENTRY.c.id.in_(part)))
        )
    return found


def refuse_contradiction(line: Line, numbers: dict[str, int], here: dict[str, int | None]) -> None:
    """Make sure that no number belongs to another entry, and no entry that is here has another number."""
    by_number = {seq: entry_id for entry_id, seq in numbers.items()}
    within = ENTRY.c.seq.between(min(by_number), max(by_number))
    given = line.core.execute(select(ENTRY.c.seq, ENTRY.c.id).where(ENTRY.c.group_id == OWN_GROUP, within))
    if any(by_number.get(seq, entry_id) != entry_id for seq, entry_id in given):
        raise NumbersChangedError
    if any(seq not in (None, numbers[entry_id]) for entry_id, seq in here.items()):
        raise NumbersChangedError


def start_over(line: Line) -> None:
    """Forget every number and let everything wait to be shared; what stands aside stays aside."""
    line.core.execute(update(ENTRY).where(ENTRY.c.group_id == OWN_GROUP).values(seq=None))
    line.driver.execute(_ALL_WAIT, (Waits.WAITING.value, OWN_GROUP))
    facts.note(line.core, {Fact.CURSOR: "0"})

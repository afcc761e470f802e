"""The group's dense numbers on this phone's entries, the digest of what is numbered, and starting over. No network.

A server that was put back from a backup gives numbers again that it had given before. Merging is the union by
id, so the cure is always safe: forget the numbers, send everything again, fetch everything again.
"""

from collections.abc import Iterable, Sequence

from sqlalchemy import select, update

from mobile.storage import facts
from mobile.storage.database import Line
from mobile.storage.facts import Fact
from mobile.storage.outbox import Waits
from shared_models.digest import NOTHING, added, taken_away
from shared_models.errors import PomewardError
from shared_models.language import say
from shared_models.store import entry_log
from shared_models.store.tables import ENTRY, OWN_GROUP

DAMAGED = ""
"""Stands in the place of the hash of an entry whose text was damaged on this phone; the group's takes its place."""

_ALL_WAIT = """
    INSERT OR IGNORE INTO outbox (id, rec, kind, state)
    SELECT id, rec, kind, ? FROM entry WHERE group_id = ? AND hash <> ?
"""


class NumbersChangedError(PomewardError):
    """The server's numbers contradict those that it gave before, though it did not say so; start over."""

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
        here = _numbered(line, list(numbers))
        refuse_contradiction(line, numbers, {entry_id: seq for entry_id, (seq, _) in here.items()})
        note_shared(line, [known for seq, known in here.values() if seq is None])
        entry_log.set_number(line.core, OWN_GROUP, numbers)


def note_shared(line: Line, hashes: Iterable[str], gone: Iterable[str] = ()) -> None:
    """Take entries that have their number now into the digest of all that have one, and out of it what is replaced."""
    before = facts.read(line.core, Fact.DIGEST) or NOTHING
    facts.note(line.core, {Fact.DIGEST: taken_away(added(before, hashes), gone)})


def _numbered(line: Line, ids: Sequence[str]) -> dict[str, tuple[int | None, str]]:
    """Number and hash of each of these entries that is here; no number while it is not shared."""
    columns = select(ENTRY.c.id, ENTRY.c.seq, ENTRY.c.hash).where(ENTRY.c.group_id == OWN_GROUP)
    found: dict[str, tuple[int | None, str]] = {}
    for part in entry_log.chunks(ids):
        rows = line.core.execute(columns.where(ENTRY.c.id.in_(part)))
        found.update((entry_id, (seq, known)) for entry_id, seq, known in rows)
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


def start_over(line: Line, epoch: str | None = None) -> None:
    """Forget every number and let everything wait to be shared; what stands aside stays aside.

    `epoch` is that of the numbers to come; None where the server did not say that it is another one.
    """
    line.core.execute(update(ENTRY).where(ENTRY.c.group_id == OWN_GROUP).values(seq=None))
    line.driver.execute(_ALL_WAIT, (Waits.WAITING.value, OWN_GROUP, DAMAGED))
    facts.note(line.core, {Fact.CURSOR: "0", Fact.DIGEST: NOTHING} | ({Fact.EPOCH: epoch} if epoch else {}))

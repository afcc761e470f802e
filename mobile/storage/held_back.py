"""Own entries that the server holds back: still readable here, what waits for them, when they are mended. No network.

"Folded nowhere, here as little as in the group": they are in no table and in no report, only their record reads back.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, FromClause, and_, delete, exists, func, select

from mobile.storage.database import Line
from mobile.storage.legible import entries_of_texts
from mobile.storage.own_tables import ASIDE, OUTBOX
from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold
from shared_models.language import say, say_many
from shared_models.records.kinds import is_known, record_of
from shared_models.store import entry_log
from shared_models.store.tables import ENTRY, MARK, OWN_GROUP, RECORD

HELD_BACK = "held_back"
"""The state in the outbox of what this module is about; `outbox.Waits` names it for all others."""

TAKEN = "taken"
"""The server's code for an entry whose id another entry has."""

# What a newer app wrote stands aside too, and may wait to be shared: it came in a copy, or a server was put back.
_HERE = and_(ASIDE, ENTRY.c.id == OUTBOX.c.id, OUTBOX.c.state == HELD_BACK)
_NOT_TAKEN = func.coalesce(OUTBOX.c.code, "") != TAKEN


@dataclass(frozen=True, slots=True)
class WaitingForIt:
    """How much the group has that stands nowhere while a record is held back."""

    marks: int = 0
    records: int = 0
    changes: int = 0

    @property
    def total(self) -> int:
        """All of it."""
        return self.marks + self.records + self.changes

    def sentence(self) -> str:
        """What waits, for the person."""
        counted = [
            say_many("{count} mark", "{count} marks", self.marks) if self.marks else "",
            say_many("{count} other record", "{count} other records", self.records) if self.records else "",
            say_many("{count} later change", "{count} later changes", self.changes) if self.changes else "",
        ]
        return say(
            "Shared already, and in no report until this record is corrected: {what}.",
            what=", ".join(part for part in counted if part),
        )


def with_held_back(core: Connection, rec: str, found: FoldedRecord | None) -> FoldedRecord | None:
    """A record that is incomplete without its held-back entries, with them; else as it was found."""
    if found is not None and record_of(found) is not None:
        return found
    held = _bodies(core, OUTBOX.c.rec == rec)
    return _folded([*entry_log.of_records(core, OWN_GROUP, [rec]), *held]) if held else found


def fields_to_mend(core: Connection, rec: str) -> dict[str, Any] | None:
    """All fields of a record that is incomplete without its held-back entries; None where it is not such a one.

    Where another record has its id there is nothing to mend: that other one stands.
    """
    entries = list(entry_log.of_records(core, OWN_GROUP, [rec]))
    held = _bodies(core, and_(OUTBOX.c.rec == rec, _NOT_TAKEN))
    if not held or _is_complete(entries):
        return None
    whole = _folded([*entries, *held])
    return dict(whole.fields) if whole else None


def waiting_for(core: Connection, rec: str) -> WaitingForIt:
    """What the group has that waits for a record; nothing where the record is complete without what is held back."""
    if _is_complete(entry_log.of_records(core, OWN_GROUP, [rec])):
        return WaitingForIt()
    return WaitingForIt(
        marks=_shared(core, MARK, MARK.c.visit == rec),
        records=_shared(core, RECORD, RECORD.c.fields.contains(rec)),
        changes=core.execute(select(func.count()).where(_is_shared(rec))).scalar_one(),
    )


def let_go_of_mended(line: Line) -> None:
    """Take out of the outbox what is held back and was mended: the group has the record without it."""
    held = select(ENTRY.c.body).join(OUTBOX, _HERE).where(_NOT_TAKEN)
    for entry in entries_of_texts(line.core.execute(held).scalars().all()):
        if _is_mended(line.core, entry):
            line.core.execute(delete(OUTBOX).where(OUTBOX.c.id == entry.id))


def _is_mended(core: Connection, held: Entry) -> bool:
    """Whether the group has a complete record from later entries, has all that it said anew, or has it undone."""
    bodies = core.execute(
        select(ENTRY.c.body).where(_is_shared(held.rec), ENTRY.c.aside.is_(False))
    ).scalars()
    shared = list(entries_of_texts(bodies))
    later = [entry for entry in shared if entry.stamp > held.stamp]
    if later and len(later) == len(shared) and _is_complete(shared):
        return True
    whole = _folded(shared)
    said_anew = {name for entry in later for name in entry.f}
    return set(held.f) <= said_anew or (whole is not None and whole.deleted)


def _is_shared(rec: str | ColumnElement[str]) -> ColumnElement[bool]:
    return and_(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.rec == rec, ENTRY.c.seq.is_not(None))


def _shared(core: Connection, table: FromClause, which: ColumnElement[bool]) -> int:
    live = table.c.group_id == OWN_GROUP, table.c.deleted.is_(False), exists().where(_is_shared(table.c.rec))
    return core.execute(select(func.count()).select_from(table).where(which, *live)).scalar_one()


def _bodies(core: Connection, which: ColumnElement[bool]) -> list[Entry]:
    held = select(ENTRY.c.body).join(OUTBOX, _HERE).where(which)
    return list(entries_of_texts(core.execute(held).scalars()))


def _folded(entries: Sequence[Entry]) -> FoldedRecord | None:
    readable = [entry for entry in entries if is_known(entry.kind, entry.v)]
    return fold(readable) if readable else None


def _is_complete(entries: Iterable[Entry]) -> bool:
    folded = _folded(list(entries))
    return folded is not None and record_of(folded) is not None

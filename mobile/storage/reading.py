"""What screens and workflows ask of the phone's records, on a connection that somebody else opened. Writes nothing."""

from typing import TypeVar

from sqlalchemy import ColumnElement, Connection, func, select, tuple_

from mobile.storage.held_back import with_held_back
from mobile.storage.legible import entries_of_texts
from mobile.storage.pen import folded_from_log
from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold_all
from shared_models.records.fields import Record
from shared_models.records.kinds import is_known, record_of
from shared_models.records.tallies import TallyMark
from shared_models.season_records import TallyCount, count_numbers
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, MARK, OWN_GROUP

R = TypeVar("R", bound=Record)


def folded(core: Connection, rec: str) -> FoldedRecord | None:
    """A record of any kind as it stands; None where this phone knows none of that id.

    One that the server holds back reads as it was recorded here, though it is in no list and no report.
    """
    return with_held_back(core, rec, state.find(core, OWN_GROUP, rec) or folded_from_log(core, rec))


def record(core: Connection, kind: type[R], rec: str) -> R | None:
    """The live record of that kind and id; None where there is none or it was undone."""
    found = folded(core, rec)
    typed = record_of(found) if found and not found.deleted else None
    return typed if isinstance(typed, kind) else None


def records(core: Connection, kind: type[R]) -> list[R]:
    """All live and complete records of a kind, by id."""
    if kind.kind == TallyMark.kind:
        found = _marks(core)
    else:
        found = state.of_kinds(core, OWN_GROUP, [kind.kind])
    return [typed for typed in map(record_of, found) if isinstance(typed, kind)]


def tallies(core: Connection, visit: str) -> list[TallyCount]:
    """Marks, numbers at once and adjustments of a visit."""
    numbers = [found for found in map(record_of, state.numbers_of_visit(core, OWN_GROUP, visit)) if found]
    return sorted(state.tallies(core, OWN_GROUP, visit) + count_numbers(numbers, {visit}))


def history(core: Connection, limit: int, before: str | None) -> list[Entry]:
    """The newest entries first, from below the entry `before` on."""
    which = [ENTRY.c.group_id == OWN_GROUP]
    if before is not None:
        mark = select(ENTRY.c.stamp, ENTRY.c.id).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id == before)
        which.append(tuple_(ENTRY.c.stamp, ENTRY.c.id) < mark.scalar_subquery())
    newest = select(ENTRY.c.body).where(*which).order_by(ENTRY.c.stamp.desc(), ENTRY.c.id.desc())
    return list(entries_of_texts(core.execute(newest.limit(limit)).scalars()))


def entries_held(core: Connection) -> int:
    """The number of entries in the log."""
    return int(core.execute(select(func.count()).select_from(ENTRY)).scalar_one())


def entries_of(core: Connection, rec: str) -> list[Entry]:
    """Every entry of a record, oldest first, those that stand aside too."""
    wanted = ENTRY.c.group_id == OWN_GROUP, ENTRY.c.rec == rec
    bodies = core.execute(select(ENTRY.c.body).where(*wanted).order_by(ENTRY.c.stamp, ENTRY.c.id)).scalars()
    return list(entries_of_texts(bodies))


def marks_of(core: Connection, visit: str) -> list[TallyMark]:
    """The live marks of one visit by id, with what was noted of single fruit; `tallies` counts them faster."""
    found = map(record_of, _marks(core, MARK.c.visit == visit))
    return [mark for mark in found if isinstance(mark, TallyMark)]


def _marks(core: Connection, *wanted: ColumnElement[bool]) -> list[FoldedRecord]:
    live = MARK.c.group_id == OWN_GROUP, MARK.c.deleted.is_(False), *wanted
    recs = core.execute(select(MARK.c.rec).where(*live).order_by(MARK.c.rec)).scalars().all()
    entries = entry_log.of_records(core, OWN_GROUP, recs)
    return list(fold_all(entry for entry in entries if is_known(entry.kind, entry.v)).values())

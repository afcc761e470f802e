"""State in SQL: touched records folded into their rows, and a season's records read back. Never older than the log.

The caller owns connection and transaction, and on the server holds the group's counter row.
"""

import json
import logging
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext
from typing import Any

from sqlalchemy import Connection, Row, Select, Table, and_, case, delete, exists, func, or_, select
from sqlalchemy.exc import DataError, InterfaceError, ProgrammingError

from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold_all
from shared_models.garbage import making_many
from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.records.kinds import KINDS, is_known
from shared_models.records.methods import PlannedContrast
from shared_models.records.tallies import Adjustment, NumberAtOnce, TallyMark
from shared_models.records.traps import TrapVisit
from shared_models.season_records import SeasonRecords, TallyCount, gather, mark_columns
from shared_models.seasons import season_before, season_named
from shared_models.store import entry_log
from shared_models.store.tables import COUNTED, MARK, RECORD, STATE_TABLES, TOUCHED
from shared_models.store.upserts import write_or_replace
from shared_models.when import parse_when

LOG = logging.getLogger(__name__)
# What a value that nobody foresaw can raise, in Python or in a database. A full or broken disk is not among them.
UNFORESEEN = (
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
    DataError,
    InterfaceError,
    ProgrammingError,
)
SAID = (
    RECORD.c.rec,
    RECORD.c.kind,
    RECORD.c.fields,
    RECORD.c.by_person,
    RECORD.c.device,
    RECORD.c.entered,
    RECORD.c.tz,
    RECORD.c.stamp,
    # Which entry won which field is asked of few kinds only; of all it would double the work.
    case((RECORD.c.kind.in_(sorted(kind for kind, one in KINDS.items() if one.content)), RECORD.c.winners)),
)


@making_many()
def refold_touched(connection: Connection, group: str) -> int:
    """Bring state up to the log; returns how many records were folded anew."""
    recs = list(connection.execute(select(TOUCHED.c.rec).where(TOUCHED.c.group_id == group)).scalars())
    for part in entry_log.chunks(sorted(recs)):
        connection.execute(delete(TOUCHED).where(TOUCHED.c.group_id == group, TOUCHED.c.rec.in_(part)))
        refold(connection, group, part)
    return len(recs)


@making_many()
def rebuild(connection: Connection, group: str) -> int:
    """Throw the state of a group away and fold it anew from the log; returns the number of records."""
    for table in STATE_TABLES:
        connection.execute(delete(table).where(table.c.group_id == group))
    recs = entry_log.every_record(connection, group)
    for part in entry_log.chunks(recs):
        refold(connection, group, part)
    return len(recs)


def refold(connection: Connection, group: str, recs: Sequence[str]) -> None:
    """Fold these records from all their entries and write their rows. What this program cannot read stays unfolded.

    A record that cannot be folded never sinks the others: it stays in the log and among the touched ones, is in no
    table, and is tried again each time. `unfolded` lists such records.
    """
    try:
        with _whole(connection):
            _refold(connection, group, recs)
    except UNFORESEEN as fault:
        middle = len(recs) // 2
        if middle == 0:
            _leave_unfolded(connection, group, recs[0], fault)
            return
        for part in (recs[:middle], recs[middle:]):
            refold(connection, group, part)


def refold_from(connection: Connection, group: str, rec: str, entries: Iterable[Entry]) -> None:
    """The same of one record all of whose entries were read already; reading them anew would be half of a touch."""
    try:
        with _whole(connection):
            _write_anew(connection, group, [rec], entries)
    except UNFORESEEN as fault:
        _leave_unfolded(connection, group, rec, fault)


def unfolded(connection: Connection, group: str) -> list[str]:
    """Records that could not be folded, by id; right after `refold_touched`, else with all that wait for it."""
    touched = select(TOUCHED.c.rec).where(TOUCHED.c.group_id == group).order_by(TOUCHED.c.rec)
    return list(connection.execute(touched).scalars())


def _whole(connection: Connection) -> AbstractContextManager[Any]:
    """PostgreSQL gives a transaction up after a refused row; SQLite goes on with what is there."""
    return connection.begin_nested() if connection.dialect.name == "postgresql" else nullcontext()


def _leave_unfolded(connection: Connection, group: str, rec: str, fault: Exception) -> None:
    LOG.warning("Record %s could not be folded (%s); it is kept as it came.", rec, type(fault).__name__)
    for table in (RECORD, MARK):
        _delete_rows(connection, group, table, [rec])
    entry_log.touch(connection, group, [rec])


def _delete_rows(connection: Connection, group: str, table: Table, recs: Sequence[str]) -> None:
    if recs:
        connection.execute(delete(table).where(table.c.group_id == group, table.c.rec.in_(recs)))


def _refold(connection: Connection, group: str, recs: Sequence[str]) -> None:
    _write_anew(connection, group, recs, entry_log.of_records(connection, group, recs))


def _write_anew(connection: Connection, group: str, recs: Sequence[str], entries: Iterable[Entry]) -> None:
    folded = fold_all(entry for entry in entries if is_known(entry.kind, entry.v))
    # What an earlier fold wrote may stand in the other table, or in either where nothing is left to fold.
    for table in (RECORD, MARK):
        here = {rec for rec, one in folded.items() if _table(one) is table}
        _delete_rows(connection, group, table, [rec for rec in recs if rec not in here])
    write(connection, group, folded.values())


def _table(record: FoldedRecord) -> Table:
    return MARK if record.kind == TallyMark.kind else RECORD


def write(connection: Connection, group: str, folded: Iterable[FoldedRecord]) -> None:
    """Write the rows of folded records, whole."""
    marks, records = [], []
    for one in folded:
        if _table(one) is MARK:
            marks.append(mark_row(group, one))
        else:
            records.append(record_row(group, one))
    write_or_replace(connection, MARK, marks)
    write_or_replace(connection, RECORD, records)


def mark_row(group: str, mark: FoldedRecord) -> dict[str, Any]:
    """The row of a mark."""
    visit, what, place, cover, bag, source, marks = mark_columns(mark)
    return {
        "group_id": group,
        "rec": mark.rec,
        "visit": visit,
        "what": what,
        "place": place,
        "cover": cover,
        "bag": bag,
        "source": source,
        "marks": marks,
        "device": mark.device,
        "deleted": mark.deleted,
    }


def record_row(group: str, record: FoldedRecord) -> dict[str, Any]:
    """The row of any other record."""
    day = _first_day(record)
    return {
        "group_id": group,
        "rec": record.rec,
        "kind": record.kind,
        "deleted": record.deleted,
        "day": day,
        "season": _declared_text(record, "season"),
        "owner": _declared_text(record, "visit"),
        "fields": json.dumps(record.fields, ensure_ascii=False),
        "winners": json.dumps(record.winners),
        "by_person": record.by,
        "device": record.device,
        "entered": record.entered,
        "tz": record.tz,
        "stamp": record.stamp,
        "blind": json.dumps(record.blind) if record.blind else None,
        "claim": _claim(record, day) if record.kind == TrapVisit.kind else None,
    }


def find(connection: Connection, group: str, rec: str) -> FoldedRecord | None:
    """One record by its id; None where the group has none of that id."""
    row = connection.execute(select(RECORD).where(RECORD.c.group_id == group, RECORD.c.rec == rec)).first()
    return _folded(row) if row else None


def of_kinds(connection: Connection, group: str, kinds: Iterable[str]) -> list[FoldedRecord]:
    """All live records of these kinds, by id."""
    wanted = RECORD.c.group_id == group, RECORD.c.kind.in_(sorted(kinds)), RECORD.c.deleted.is_(False)
    return folded_rows(connection, select(RECORD).where(*wanted).order_by(RECORD.c.rec))


def folded_rows(connection: Connection, whole_rows: Select[Any]) -> list[FoldedRecord]:
    """The records of whole rows."""
    return [_folded(row) for row in connection.execute(whole_rows)]


def tallies(connection: Connection, group: str, visit: str) -> list[TallyCount]:
    """The live marks of one visit, counted; numbers at once are not among them."""
    return _counted(connection, MARK.c.group_id == group, MARK.c.visit == visit)


def numbers_of_visit(connection: Connection, group: str, visit: str) -> list[FoldedRecord]:
    """The live numbers at once and adjustments of one visit, by id."""
    wanted = RECORD.c.owner == visit, RECORD.c.kind.in_((NumberAtOnce.kind, Adjustment.kind))
    live = RECORD.c.group_id == group, RECORD.c.deleted.is_(False)
    return [
        _folded(row)
        for row in connection.execute(select(RECORD).where(*live, *wanted).order_by(RECORD.c.rec))
    ]


def newest_mark(connection: Connection, group: str, visit: str, device: str) -> str | None:
    """The newest live mark that a device made on a visit: what "−1" takes back."""
    live = MARK.c.group_id == group, MARK.c.visit == visit, MARK.c.device == device, MARK.c.deleted.is_(False)
    newest: str | None = connection.execute(select(func.max(MARK.c.rec)).where(*live)).scalar_one()
    return newest


@making_many()
def season_records(connection: Connection, group: str, season_key: str) -> SeasonRecords:
    """Everything that a season's report may look at; the caller has called `refold_touched`."""
    season = season_named(season_key)
    first, end = season.first_day.isoformat(), season.last_day.isoformat()
    in_season = or_(RECORD.c.day.is_(None), RECORD.c.day.between(first, end), RECORD.c.season == season_key)
    at_traps = RECORD.c.kind == TrapVisit.kind  # of all seasons: what is on a liner was counted before
    last = season_before(season)
    in_last = or_(
        RECORD.c.day.between(last.first_day.isoformat(), last.last_day.isoformat()),
        RECORD.c.season == last.key,
    )
    done_before = and_(RECORD.c.kind.in_((Job.kind, PlanLine.kind)), in_last)  # it may still act
    here = or_(RECORD.c.deleted.is_(False), RECORD.c.kind == PlannedContrast.kind)
    live = RECORD.c.group_id == group, here, or_(in_season, at_traps, done_before)
    owner = RECORD.alias("visit_of_number")
    of_season = or_(
        RECORD.c.owner.is_(None),
        exists().where(
            owner.c.group_id == group,
            owner.c.rec == RECORD.c.owner,
            or_(owner.c.day.is_(None), owner.c.day.between(first, end), owner.c.season == season_key),
        ),
    )
    folded = for_reading(connection, select(*SAID).where(*live, of_season).order_by(RECORD.c.rec))
    marks = _counted(
        connection, MARK.c.group_id == group, MARK.c.visit.in_(select(RECORD.c.rec).where(*live))
    )
    return gather(folded, marks, season_key)


def _counted(connection: Connection, *which: Any) -> list[TallyCount]:
    said = [MARK.c[name] for name in ("visit", *COUNTED)]
    live: Select[Any] = select(*said, func.count()).where(*which, MARK.c.deleted.is_(False))
    counting = live.group_by(*said).order_by(*said)
    return [TallyCount(*row) for row in connection.execute(counting).all()]


def for_reading(connection: Connection, said: Select[Any]) -> list[FoldedRecord]:
    """Records by the thousand for reading only; winners where the kind asks for them."""
    return [
        FoldedRecord(
            rec, kind, json.loads(fields), json.loads(won) if won else {}, by, device, entered, tz, stamp
        )
        for rec, kind, fields, by, device, entered, tz, stamp, won in connection.execute(said).all()
    ]


def _folded(row: Row[Any]) -> FoldedRecord:
    return FoldedRecord(
        row.rec,
        row.kind,
        json.loads(row.fields),
        json.loads(row.winners),
        row.by_person,
        row.device,
        row.entered,
        row.tz,
        row.stamp,
        tuple(json.loads(row.blind)) if row.blind else (),
    )


def _first_day(record: FoldedRecord) -> str | None:
    told = _declared_text(record, "when")
    try:
        first = parse_when(told).first if told else None
    except ValueError:  # kept as it is; a day that cannot be read is a day not known
        return None
    return first.isoformat() if first else None


def _claim(visit: FoldedRecord, day: str | None) -> str | None:
    """Trap and visit before of a visit to a trap, or its day where it names none; `catches.claim_of` is exact."""
    trap, before = _declared_text(visit, "trap"), _declared_text(visit, "previous") or day
    return f"{trap} {before}" if trap and before else None


def _declared_text(record: FoldedRecord, name: str) -> str | None:
    """The text of a field that the record's kind declares; fields of other versions may hold anything."""
    kind = KINDS.get(record.kind)
    told = record.fields.get(name) if kind and name in kind.model_fields else None
    return told if isinstance(told, str) else None

"""Reads the few records that a touch is about out of the many that years leave behind. Writes nothing.

What a record names (a tree, a trap) stands in its fields' text, where SQLite finds an id many times faster than
records can be read; whoever asks still looks at the record itself.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from json import loads
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, Row, case, false, func, or_, select

from mobile.storage import reading
from mobile.storage.database import Database
from shared_models.fold import FoldedRecord
from shared_models.records.fields import Record
from shared_models.records.gardens import Garden, PlanLine, SameTree
from shared_models.records.jobs import Job
from shared_models.records.kinds import record_of
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import NumberAtOnce, TallyMark, Visit
from shared_models.season_records import SeasonRecords, TallyCount, gather
from shared_models.seasons import season_named
from shared_models.store import state
from shared_models.store.tables import OWN_GROUP, RECORD
from shared_models.store.timing_ground import timing_ground
from shared_models.timing.ground import TimingGround

R = TypeVar("R", bound=Record)
_ALWAYS = (Garden.kind, SameTree.kind, OwnMethod.kind)
_READ = [
    RECORD.c[name] for name in ("rec", "kind", "fields", "by_person", "device", "entered", "tz", "stamp")
]


class FewRecords:
    """The phone's live records, chosen by day, season and what they name."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._standing: dict[str, dict[str, tuple[Row[Any], Record | None]]] = {}

    def naming(self, kind: type[R], ids: Collection[str], of: str | None = None) -> list[R]:
        """Records of a kind that name one of these ids, by id; those that a season may hold where `of` is its key."""
        return self._of(kind, _names_any(ids), *([_may_be_of(of)] if of else []))

    def of_season(self, kind: type[R], key: str) -> list[R]:
        """Records of a kind that a season may hold: by their day, by hand, or of a day not known."""
        return self._of(kind, _may_be_of(key))

    def of_days(self, kind: type[R], first: date, last: date) -> list[R]:
        """Records of a kind whose first day lies between these days, both included."""
        return self._of(kind, RECORD.c.day.between(first.isoformat(), last.isoformat()))

    def begun_since(self, kind: type[R], day: date) -> list[R]:
        """Records of a kind since a day, and those of which no day is known."""
        return self._of(kind, or_(RECORD.c.day.is_(None), RECORD.c.day >= day.isoformat()))

    def unended(self, kind: type[R], device: str) -> list[R]:
        """Records of a kind, made by a device, whose end was not said."""
        # As it is written, an end is found ten times as fast as by reading the fields; what has none is then read.
        no_end = func.instr(RECORD.c.fields, '"ended": "') == 0
        return self._of(kind, RECORD.c.device == device, no_end, _said("ended").is_(None))

    def newest_saying(self, kind: type[R], device: str, fields: Iterable[str], most: int) -> list[R]:
        """The newest records of a kind by day, made by a device, that say one of these fields."""
        says = or_(*(_said(name).is_not(None) for name in fields))
        wanted = [RECORD.c.kind == kind.kind, RECORD.c.device == device, says]
        with self._database.reading() as core:
            found = _typed(_live(core, wanted, (RECORD.c.day.desc(), RECORD.c.rec.desc()), most))
        return [record for record in found if isinstance(record, kind)]

    def numbers_of(self, visit: str) -> list[NumberAtOnce]:
        """The numbers at once of a visit."""
        return self._of(NumberAtOnce, RECORD.c.owner == visit)

    def marks_of(self, visit: str) -> list[TallyMark]:
        """The marks of a visit, each with what was noted of that one fruit."""
        with self._database.reading() as core:
            return reading.marks_of(core, visit)

    def newest_first(
        self, kinds: Iterable[str], ids: Collection[str] = (), piece: int = 500
    ) -> Iterator[Record]:
        """Records of these kinds by day, those of a day not known before all; that name one of `ids`, if any are.

        Read piece by piece, each larger than the last, so that whoever has seen enough pays for no more.
        """
        wanted = [RECORD.c.kind.in_(sorted(kinds)), *([_names_any(ids)] if ids else [])]
        by_day = RECORD.c.day.is_not(None), RECORD.c.day.desc(), RECORD.c.rec.desc()
        seen = 0
        while True:
            with self._database.reading() as core:
                found = _live(core, wanted, by_day, piece, seen)
            yield from _typed(found)
            if len(found) < piece:
                return
            seen, piece = seen + piece, piece * 4

    def last_days(self, kind: type[R], fields: Sequence[str], since: date) -> dict[tuple[str, ...], date]:
        """The last day since a day of records of a kind, by what they say in these fields; "" where they do not.

        Counted by SQLite, since a season holds thousands of visits and only their last days are asked.
        """
        told = [func.coalesce(_said(name), "") for name in fields]
        when = _said("when")
        last = func.max(case((func.instr(when, "/") > 0, func.substr(when, -10)), else_=RECORD.c.day))
        wanted = RECORD.c.kind == kind.kind, RECORD.c.day >= since.isoformat()
        live = RECORD.c.group_id == OWN_GROUP, RECORD.c.deleted.is_(False), *wanted
        with self._database.reading() as core:
            rows = core.execute(select(*told, last).where(*live).group_by(*told)).all()
        return {tuple(map(str, said)): date.fromisoformat(day) for *said, day in rows}

    def timing_ground(self, key: str) -> TimingGround:
        """What the timing of a season is made of."""
        with self._database.reading() as core:
            return timing_ground(core, OWN_GROUP, key)

    def standing(self, kind: type[R]) -> list[R]:
        """All records of a kind that changes seldom, by id; only what changed since the last time is read anew."""
        live = RECORD.c.group_id == OWN_GROUP, RECORD.c.deleted.is_(False), RECORD.c.kind == kind.kind
        with self._database.reading() as core:
            rows = {row.rec: row for row in core.execute(select(*_READ).where(*live))}
        before = self._standing.get(kind.kind, {})
        now = {
            rec: before[rec] if rec in before and before[rec][0] == row else (row, record_of(_folded(row)))
            for rec, row in rows.items()
        }
        self._standing[kind.kind] = now
        return [record for _, (_, record) in sorted(now.items()) if isinstance(record, kind)]

    def of_tree_in_season(self, trees: Collection[str], garden: str, key: str) -> SeasonRecords:
        """What a season holds of one tree (all the ids that stand for it) in its garden: done, declared and tallied."""
        here = RECORD.c.kind.in_(_ALWAYS) | RECORD.c.rec.in_(sorted(trees))
        with self._database.reading() as core:
            found = _live(core, [here])
            for kind, names in ((Visit, trees), (PlanLine, trees), (Job, [*trees, garden])):
                found += _live(core, [RECORD.c.kind == kind.kind, _may_be_of(key), _names_any(names)])
            tallied: list[TallyCount] = []
            for visit in [one.rec for one in found if one.kind == Visit.kind]:
                tallied += state.tallies(core, OWN_GROUP, visit)
                found += state.numbers_of_visit(core, OWN_GROUP, visit)
        return gather(found, tallied, key)

    def _of(self, kind: type[R], *wanted: ColumnElement[bool]) -> list[R]:
        with self._database.reading() as core:
            found = _live(core, [RECORD.c.kind == kind.kind, *wanted])
        records = [record for record in _typed(found) if isinstance(record, kind)]
        return sorted(records, key=lambda record: record.rec)


def _names_any(ids: Collection[str]) -> ColumnElement[bool]:
    return or_(false(), *(func.instr(RECORD.c.fields, one) > 0 for one in sorted(ids)))


def _said(field: str) -> ColumnElement[Any]:
    return func.json_extract(RECORD.c.fields, f"$.{field}")


def _may_be_of(key: str) -> ColumnElement[bool]:
    season = season_named(key)
    day = RECORD.c.day
    within = day.between(season.first_day.isoformat(), season.last_day.isoformat())
    return or_(day.is_(None), within, RECORD.c.season == key)


def _live(
    core: Connection,
    wanted: Sequence[ColumnElement[bool]],
    order: Sequence[Any] = (),
    most: int | None = None,
    after: int = 0,
) -> list[FoldedRecord]:
    """Live records without the entries that gave them their values, which are not asked here and take as long to read.

    In no order where none is asked: one by id would lead SQLite through all records instead of the kind's.
    """
    live = RECORD.c.group_id == OWN_GROUP, RECORD.c.deleted.is_(False), *wanted
    rows = core.execute(select(*_READ).where(*live).order_by(*order).limit(most).offset(after or None))
    return [_folded(row) for row in rows]


def _folded(row: Row[Any]) -> FoldedRecord:
    return FoldedRecord(
        row.rec, row.kind, loads(row.fields), {}, row.by_person, row.device, row.entered, row.tz, row.stamp
    )


def _typed(found: Iterable[FoldedRecord]) -> list[Record]:
    return [record for record in map(record_of, found) if record]

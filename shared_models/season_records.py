"""The records that one season's report is made of, typed and gathered; the same from a store and from bare entries.

Season is derived here, when read: from the field day and the garden's hemisphere, or as said by hand. A record
whose garden is not here yet, or whose day is not known, is listed as of no season and stands in no table.
"""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple, TypeVar

from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold_all
from shared_models.records.fields import Happening, Record
from shared_models.records.gardens import Garden, Note, PlanLine, Tree
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.kinds import is_known, record_of
from shared_models.records.methods import PlannedContrast
from shared_models.records.tallies import Adjustment, NumberAtOnce, Pick, TallyMark, Visit
from shared_models.records.timing import Stage
from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.seasons import Season, season_before, season_named, season_of
from shared_models.trap_places import NOWHERE, trap_places
from shared_models.vocabulary import Bag, Cover, Fruit, Source, Tallied

R = TypeVar("R", bound=Record)
_ABOUT = ("about", "tree", "garden")  # what says where a happening belongs, the first that is there
MarkColumns = tuple[str, str, str, str, str, str, str]


class TallyCount(NamedTuple):
    """How often one kind of mark was made on a visit; `marks` are the words joined by "+", "" where not said."""

    visit: str
    what: str
    place: str
    cover: str
    bag: str
    source: str
    marks: str
    n: float
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class SeasonRecords:
    """Everything that a season's report may look at; `unplaced` are records of which no season is known yet.

    `other_trap_visits` are those of other seasons: what is on a liner when the season begins was counted before it.
    `last_season` is what was done or declared in the season before, since it may still act on the same trees.
    `withdrawn` are contrasts that were named and undone, or given to another season: if that was after scoring they
    still count among the named ones.
    """

    season: Season
    records: dict[type[Record], list[Record]]
    tallies: list[TallyCount]
    unplaced: list[Record] = field(default_factory=list)
    other_trap_visits: list[TrapVisit] = field(default_factory=list)
    withdrawn: list[PlannedContrast] = field(default_factory=list)
    last_season: list[Job | PlanLine] = field(default_factory=list)

    def all(self, kind: type[R]) -> list[R]:
        """The records of one kind, by id."""
        found: list[Any] = self.records.get(kind, [])  # kept by class, so that each is of this kind
        return list(found)


def from_entries(entries: Iterable[Entry], season_key: str) -> SeasonRecords:
    """Gather a season from bare entries, as an archive or a check does."""
    folded = list(fold_all(entry for entry in entries if is_known(entry.kind, entry.v)).values())
    marks = [mark for mark in folded if mark.kind == TallyMark.kind and not mark.deleted]
    return gather((other for other in folded if other.kind != TallyMark.kind), count_marks(marks), season_key)


def count_marks(marks: Iterable[FoldedRecord]) -> list[TallyCount]:
    """Live marks counted by visit and what they say."""
    counts: dict[MarkColumns, int] = {}
    for mark in marks:
        key = mark_columns(mark)
        counts[key] = counts.get(key, 0) + 1
    return [TallyCount(*key, n) for key, n in sorted(counts.items())]


def mark_columns(mark: FoldedRecord) -> MarkColumns:
    """What a mark says, as plain text: visit, what, place, cover, bag, source, marks."""
    said = mark.fields
    return (
        str(said.get("visit", "")),
        str(said.get("what") or Tallied.FRUIT),
        str(said.get("place") or "whole"),
        str(said.get("cover") or Cover.NONE),
        str(said.get("bag") or ""),
        str(said.get("source") or ""),
        _joined(said.get("marks")),
    )


def _joined(marks: list[str] | None) -> str:
    """Marks as one text: each once, in the order of the alphabet."""
    return "" if not marks else marks[0] if len(marks) == 1 else "+".join(sorted(set(marks)))


def count_numbers(records: Iterable[Record], visits: Container[str]) -> list[TallyCount]:
    """Numbers at once and adjustments of these visits, each as a count of its own."""
    found = []
    for record in records:
        if isinstance(record, NumberAtOnce) and record.visit in visits:
            found.append(_as_count(record, record.amount, record.estimated))
        elif isinstance(record, Adjustment) and record.visit in visits:
            found.append(_as_count(record, float(record.n), False))
    return found


def gather(folded: Iterable[FoldedRecord], marks: Sequence[TallyCount], season_key: str) -> SeasonRecords:
    """Choose the records of one season and read them; undone and incomplete ones stay out."""
    season = season_named(season_key)
    live: list[Record] = []
    withdrawn: list[PlannedContrast] = []
    for one in folded:
        if not one.deleted or one.kind == PlannedContrast.kind:
            record = record_of(one)
            if one.deleted and isinstance(record, PlannedContrast) and record.season == season_key:
                withdrawn.append(record)
            elif record and not one.deleted:
                live.append(record)
                if isinstance(record, PlannedContrast) and _moved_away(record, season):
                    withdrawn.append(record)
    gathered = _Gatherer(season, live).gathered(marks)
    return replace(gathered, withdrawn=sorted(withdrawn, key=lambda one: one.rec))


def _moved_away(record: PlannedContrast, season: Season) -> bool:
    """Whether a contrast that was named in this season's days may have been given to another season since."""
    first = record.moment.first
    edited = record.last_word != record.entered
    return edited and record.season != season.key and first is not None and season.holds(first)


def _keep_those_of(visits: set[str], records: dict[type[Record], list[Record]]) -> None:
    """Numbers and adjustments have no day of their own: they belong to the season of their visit."""
    for kind in (NumberAtOnce, Adjustment):
        kept = [record for record in records.pop(kind, []) if getattr(record, "visit", None) in visits]
        if kept:
            records[kind] = kept


class _Gatherer:
    """Places each record in its season by way of its garden."""

    def __init__(self, season: Season, live: list[Record]) -> None:
        self.season = season
        self.live = sorted(live, key=lambda record: record.rec)
        self.gardens = {record.rec: record for record in live if isinstance(record, Garden)}
        self.garden_of = {record.rec: record.garden for record in live if isinstance(record, Tree | Trap)}
        self.places = trap_places(record for record in live if isinstance(record, Placement))

    def gathered(self, marks: Sequence[TallyCount]) -> SeasonRecords:
        records: dict[type[Record], list[Record]] = {}
        unplaced: list[Record] = []
        other_trap_visits: list[TrapVisit] = []
        last_season: list[Job | PlanLine] = []
        before = season_before(self.season).key
        for record in self.live:
            key = self._key(record) if isinstance(record, Happening) else self.season.key
            if key == self.season.key:
                records.setdefault(type(record), []).append(record)
            elif key is None and isinstance(record, Happening) and self._concerns(record):
                unplaced += [] if isinstance(record, Note) else [record]  # a note stands without a season
            if isinstance(record, TrapVisit) and key != self.season.key and (key or record.moment.first):
                other_trap_visits.append(record)
            elif isinstance(record, Job | PlanLine) and key == before:
                last_season.append(record)
        visits = {visit.rec for visit in records.get(Visit, [])}
        _keep_those_of(visits, records)
        numbers = [*records.get(NumberAtOnce, []), *records.get(Adjustment, [])]
        tallies = [mark for mark in marks if mark.visit in visits] + count_numbers(numbers, visits)
        return SeasonRecords(
            self.season, records, sorted(tallies), unplaced, other_trap_visits, last_season=last_season
        )

    def _concerns(self, record: Happening) -> bool:
        """Whether this season's report has to look at it: begun in the season's days, or day not known."""
        first = record.moment.first
        return first is None or self.season.holds(first) or record.season == self.season.key

    def _key(self, record: Happening) -> str | None:
        """The season key of a happening; None where it cannot be known yet, or was given for the other hemisphere."""
        garden = self.gardens.get(self._garden(record) or "")
        if record.season:
            fits = garden is None or season_named(record.season).hemisphere is garden.hemisphere
            return record.season if fits else None
        first, last = record.moment.first, record.moment.last
        if garden is None or first is None or last is None:
            return None
        start = season_of(first, garden.hemisphere)
        return start if start == season_of(last, garden.hemisphere) else None

    def _garden(self, record: Happening) -> str | None:
        if isinstance(record, DayTemperature):
            return record.garden
        if isinstance(record, Job):
            return record.garden or next(
                (self.garden_of[tree] for tree in record.trees if tree in self.garden_of), None
            )
        if isinstance(record, Visit | Pick):
            return self.garden_of.get(record.tree)
        if isinstance(record, Stage):
            return record.garden or self.garden_of.get(record.tree or "")
        if isinstance(record, TrapVisit):
            return self._garden_of_count(record)
        about = next((found for name in _ABOUT if (found := getattr(record, name, None))), None)
        return self.garden_of.get(about, about) if about else None

    def _garden_of_count(self, visit: TrapVisit) -> str | None:
        """Where the trap hung on the day, else where it hangs now; None where the trap is not here."""
        if visit.trap not in self.garden_of:
            return None
        there = self.places.get(visit.trap, NOWHERE).garden_on(visit.moment.last)
        return there or self.garden_of[visit.trap]


def _as_count(record: NumberAtOnce | Adjustment, n: float, estimated: bool) -> TallyCount:
    marks: list[Fruit] = record.marks or []
    bag: Bag | None = record.bag
    source: Source | None = record.source
    return TallyCount(
        record.visit,
        record.what,
        record.place,
        record.cover,
        bag or "",
        source or "",
        "+".join(sorted(set(marks))),
        n,
        estimated,
    )

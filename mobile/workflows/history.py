"""The history: newest first by the day things happened, and its filters. Writes nothing; see `corrections` for that.

Offers `lines` (one line a visit, job, note …, what was undone lately too) and `Wanted`, the filter.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bag_checks import bag_check_in_words
from mobile.workflows.people import names, somebody
from mobile.workflows.places_on_tree import place_name
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.tally import WHOLE, bags, number_in_words
from mobile.workflows.tree_list import TreeList
from mobile.workflows.versions import Version, versions
from shared_models.language import say, say_many, spoken, word
from shared_models.records.bag_checks import BagCheck
from shared_models.records.fields import Happening, Record
from shared_models.records.gardens import LeftOut, Note, PlanLine
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.kinds import record_of
from shared_models.records.methods import PlannedContrast
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.records.tallies import Pick, Visit
from shared_models.records.timing import Stage
from shared_models.records.traps import Trap, TrapVisit
from shared_models.report_words import METHOD_NAMES
from shared_models.season_records import TallyCount
from shared_models.vocabulary import Round, Tallied

__all__ = ["HistoryLine", "Version", "Wanted", "lines", "versions"]

KINDS: tuple[type[Happening], ...] = (
    Visit,
    TrapVisit,
    Job,
    Pick,
    BagCheck,
    DoubleScore,
    CutSample,
    LeftOut,
    PlanLine,
    PlannedContrast,
    DayTemperature,
    Stage,
    Note,
)
_LOOK_BACK = 500  # entries in which records that were undone lately are looked for


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the history is filtered by; what is None is not asked about. `person` is who did it."""

    tree: str | None = None
    trap: str | None = None
    person: str | None = None
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One line: when it happened, what it was in words, who did it, how often it was changed, whether it was undone.

    `late_days` is how long after the day it was entered, None where the day is not known.
    """

    rec: str
    kind: str
    when: str
    in_words: str
    sentence: str
    who: str
    corrected: int
    undone: bool
    late_days: int | None


def lines(store: PhoneStore, wanted: Wanted | None = None, limit: int = 100) -> list[HistoryLine]:
    """The newest lines first, by the day it happened, then by when it was entered; day not known comes first."""
    asked = wanted or Wanted()
    trees = TreeList(store)
    found = [(record, False) for record in _live(store, trees, asked, limit)]
    found += [(record, True) for record in _undone(store) if _concerns(trees, record, asked)]
    newest = sorted(found, key=lambda item: _place(item[0]), reverse=True)[:limit]
    reader = _Reader(store, trees)
    return [reader.line(record, undone) for record, undone in newest]


KIND_WORDS = {
    Visit.kind: word("Visits to trees"),
    TrapVisit.kind: word("Visits to traps"),
    Job.kind: word("Work and sprays"),
    Pick.kind: word("Picked in all"),
    BagCheck.kind: word("Looks at bags"),
    DoubleScore.kind: word("Scored by two"),
    CutSample.kind: word("Fruit cut open"),
    DayTemperature.kind: word("Temperatures"),
    Stage.kind: word("Growth stages"),
    Note.kind: word("Notes"),
    PlanLine.kind: word("Plans"),
    LeftOut.kind: word("Left out"),
    PlannedContrast.kind: word("Planned comparisons"),
}


def wanted_in_words(store: PhoneStore, wanted: Wanted) -> str:
    """What is shown, in words."""
    trap = store.get(Trap, wanted.trap) if wanted.trap else None
    parts = [
        spoken(KIND_WORDS[wanted.kind]) if wanted.kind in KIND_WORDS else "",
        say("tree {tree}", tree=TreeList(store).label(wanted.tree) or "?") if wanted.tree else "",
        say("trap {trap}", trap=trap.label) if trap else "",
        say("by {who}", who=names(store).get(wanted.person, somebody())) if wanted.person else "",
    ]
    return " · ".join(part for part in parts if part) or say("Everything")


def lines_of(store: PhoneStore, records: Iterable[Happening], undone: bool = False) -> list[HistoryLine]:
    """The lines of these records, in their order."""
    reader = _Reader(store, TreeList(store))
    return [reader.line(record, undone) for record in records]


def _live(store: PhoneStore, trees: TreeList, wanted: Wanted, limit: int) -> list[Happening]:
    """The newest by day, as many as wanted and the rest of the last one's day."""
    kinds = [kind.kind for kind in KINDS if wanted.kind in (None, kind.kind)]
    about = trees.records_of(wanted.tree) if wanted.tree else [wanted.trap] if wanted.trap else []
    found: list[Happening] = []
    for record in store.few.newest_first(kinds, about):
        if not isinstance(record, Happening):
            continue
        if len(found) >= limit and record.moment.first != found[-1].moment.first:
            break
        if _concerns(trees, record, wanted):
            found.append(record)
    return found


def _undone(store: PhoneStore) -> Iterator[Happening]:
    """Records of these kinds that were undone lately and stand undone."""
    shown = {kind.kind for kind in KINDS}
    recent = dict.fromkeys(entry.rec for entry in store.history(_LOOK_BACK) if entry.kind in shown)
    for rec in recent:
        folded = store.folded(rec)
        record = record_of(folded) if folded and folded.deleted else None
        if isinstance(record, Happening):
            yield record


def _concerns(trees: TreeList, record: Happening, wanted: Wanted) -> bool:
    if wanted.kind not in (None, record.kind) or wanted.person not in (None, record.person):
        return False
    if wanted.trap is not None and getattr(record, "trap", None) != wanted.trap:
        return False
    return wanted.tree is None or bool(trees.records_of(wanted.tree) & set(trees_of(record)))


def trees_of(record: Record) -> list[str]:
    """The trees that a record names."""
    if isinstance(record, Job):
        return record.trees
    named = getattr(record, "tree", None) or getattr(record, "about", None)
    return [named] if named else []


def _place(record: Happening) -> tuple[bool, str, datetime, int, str]:
    first = record.moment.first
    entered = datetime.fromisoformat(record.entered)
    # A visit stands above its pick, which was made in the same moment.
    return (
        first is None,
        first.isoformat() if first else "",
        entered,
        -KINDS.index(type(record)),
        record.rec,
    )


class _Reader:
    """Puts records into words."""

    def __init__(self, store: PhoneStore, trees: TreeList) -> None:
        self._store = store
        self._trees = trees
        self._labels = {line.tree: line.label for line in trees.all()}
        self._traps = {trap.rec: trap.label for trap in store.all(Trap)}
        self._names = names(store)

    def line(self, record: Happening, undone: bool) -> HistoryLine:
        return HistoryLine(
            record.rec,
            record.kind,
            record.when,
            when_in_words(record.when),
            self._sentence(record),
            self._names.get(record.person, somebody()),
            _corrections(self._store, record.rec),
            undone,
            _late_days(record),
        )

    def _sentence(self, record: Happening) -> str:
        if isinstance(record, Visit):
            return self._visit(record)
        if isinstance(record, TrapVisit):
            return self._trap_visit(record)
        if isinstance(record, Job):
            return say(
                "{method}: {trees}",
                method=spoken(METHOD_NAMES.get(record.method, record.method)),
                trees=self._of(record),
            )
        if isinstance(record, Pick):
            return self._pick(record)
        if isinstance(record, PlanLine) and record.left_untreated:
            return say("Tree {tree} left untreated in {season}", tree=self._of(record), season=record.season)
        if isinstance(record, LeftOut):
            return say(
                "Tree {tree} left out of {season}: {reason}",
                tree=self._of(record),
                season=record.season,
                reason=record.reason,
            )
        return self._other(record)

    def _other(self, record: Happening) -> str:
        if isinstance(record, DoubleScore | CutSample):
            return self._check(record)
        if isinstance(record, BagCheck):
            return say(
                "Bags of tree {tree}: {found}", tree=self._of(record), found=bag_check_in_words(record)
            )
        if isinstance(record, Note):
            return say("Note: {text}", text=record.text)
        if isinstance(record, DayTemperature):
            return say(
                "Temperature {lowest} to {highest} °{unit}",
                lowest=record.lowest,
                highest=record.highest,
                unit=record.unit,
            )
        if isinstance(record, Stage):
            seen = record.cultivar or self._of(record)
            return say("Growth stage BBCH {bbch}: {seen}", bbch=record.bbch, seen=seen)
        if isinstance(record, PlanLine):
            return say("Plan for tree {tree} in {season}", tree=self._of(record), season=record.season)
        return say("Planned comparison")

    def _check(self, record: DoubleScore | CutSample) -> str:
        if isinstance(record, CutSample):
            return say(
                "Tree {tree}: {cut} clean-looking fruit cut, an entry in {found}",
                tree=self._of(record),
                cut=record.cut,
                found=record.found,
            )
        return say(
            "Tree {tree}: {fruit} fruit scored by {first} and {second}",
            tree=self._of(record),
            fruit=len(record.first_marks),
            first=self._names.get(record.person, somebody()),
            second=self._names.get(record.second, somebody()),
        )

    def _pick(self, pick: Pick) -> str:
        part = place_name(self._store, pick.place)
        tree = say("{tree}, {part}", tree=self._of(pick), part=part) if part else self._of(pick)
        return say("Pick of tree {tree}: {total}", tree=tree, total=_total_in_words(pick))

    def _visit(self, visit: Visit) -> str:
        return say(
            "{round}, tree {tree}: {found}",
            round=spoken(ROUND_WORDS[visit.round]),
            tree=self._of(visit),
            found=_found_in_words(self._store, visit),
        )

    def _trap_visit(self, visit: TrapVisit) -> str:
        label = self._traps.get(visit.trap, say("not known here"))
        if not visit.counted or visit.moths is None:
            return say("Trap {trap}: not counted", trap=label)
        return say_many("Trap {trap}: {count} moth", "Trap {trap}: {count} moths", visit.moths, trap=label)

    def _of(self, record: Record) -> str:
        labels = [self._labels.get(self._trees.one(tree), say("not known here")) for tree in trees_of(record)]
        return ", ".join(labels) or say("whole garden")


ROUND_WORDS = {
    Round.BAGGING: word("Bagging"),
    Round.DROPS: word("Drops"),
    Round.PICKING: word("Picking"),
    Round.OTHER: word("Visit"),
}


def _found_in_words(store: PhoneStore, visit: Visit) -> str:
    counts = store.tallies(visit.rec)
    if visit.round is Round.BAGGING:
        box = visit.bags_by_the_box
        put_on = float(box) if box is not None else bags(counts)
        return say("{number} bags", number=number_in_words(put_on))
    fruit = sum(count.n for count in counts if count.what == Tallied.FRUIT)
    found = say("{number} fruit", number=number_in_words(max(0.0, fruit)))
    parts = _by_part(store, counts)
    return say("{found}: {parts}", found=found, parts=parts) if parts else found


def _by_part(store: PhoneStore, counts: Iterable[TallyCount]) -> str:
    """How many of each cultivar; nothing where the tree was scored as a whole."""
    sums: dict[str, float] = {}
    for count in counts:
        if count.what == Tallied.FRUIT:
            sums[count.place] = sums.get(count.place, 0) + count.n
    if set(sums) <= {WHOLE.place}:
        return ""
    return ", ".join(
        say(
            "{number} {part}",
            number=number_in_words(n),
            part=place_name(store, place) or say("not told apart"),
        )
        for place, n in sums.items()
        if n > 0
    )


def _total_in_words(pick: Pick) -> str:
    total = pick.typed_total
    return (
        say("in all not said")
        if total is None
        else say("{number} in all", number=number_in_words(round(total)))
    )


def _corrections(store: PhoneStore, rec: str) -> int:
    """How many entries on a record gave a reason."""
    return sum(1 for entry in store.entries_of(rec) if entry.id != entry.rec and entry.f.get("reason"))


def _late_days(record: Happening) -> int | None:
    last = record.moment.last
    return max(0, (datetime.fromisoformat(record.entered).date() - last).days) if last else None

"""The method mix that a tree really had, from jobs and tallies, never from the plan.

A method counts when its own "counts as" is met; less than that is *partly* and a mix of its own. *Not recorded*
(no job, no declaration) is never *untreated*.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import Pick, Visit
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import BAGGING, DROPS_ROUND, METHODS, Cover, Method, Reach, Round, Tallied

DAYS_A_MONTH = 30.4375  # mean length of a month in the Gregorian calendar [days]


@dataclass(frozen=True, slots=True)
class Mix:
    """The methods of a tree or part, those it had only partly, and how its fruit stands to bags."""

    methods: tuple[str, ...] = ()
    partly: tuple[str, ...] = ()
    untreated: bool = False
    beside_bags: bool = False

    @property
    def key(self) -> str:
        """The mix as one word: methods joined by "+", `~` before partly ones, `untreated` where declared."""
        parts = [*self.methods, *(f"~{name}" for name in self.partly)]
        if self.untreated:
            parts.append("untreated")
        return "+".join(parts) + ("|beside_bags" if self.beside_bags else "")


@dataclass(frozen=True, slots=True)
class Bags:
    """Bags of one tree: put on in all, and whether any fruit of it was scored as bagged."""

    put_on: float = 0
    scored: bool = False

    @property
    def any(self) -> bool:
        """Whether this tree had bags at all."""
        return self.put_on > 0 or self.scored


@dataclass(slots=True)
class _Times:
    """On which days a method was used on something, wholly or partly."""

    wholly: set[date | None] = field(default_factory=set)
    partly: set[date | None] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class _Shares:
    """Methods used on the whole of something, and on a part of it or less than counts."""

    whole: list[str]
    part: list[str]

    @classmethod
    def of(cls, shares: Iterable[tuple[str, str]]) -> "_Shares":
        """From the share of each method: whole, part or none."""
        found = list(shares)
        return cls(*([name for name, share in found if share == kind] for kind in ("whole", "part")))

    @property
    def any(self) -> bool:
        """Whether any method was used at all."""
        return bool(self.whole or self.part)


_Use = dict[tuple[str, str], _Times]  # by place on the tree ("whole" for a garden) and method
_NEVER = _Times()


class Treatments:
    """What was done in a season, asked tree by tree."""

    def __init__(self, records: SeasonRecords, orchard: Orchard) -> None:
        self._records, self._orchard = records, orchard
        self.methods = METHODS | {own.key: own.as_method() for own in reversed(records.all(OwnMethod))}
        self.bags = _bags(records, orchard)
        self.declared = _declarations(records, orchard)
        self._trees: dict[str, _Use] = {}
        self._gardens: dict[str, _Use] = {}
        self._named: set[str] = set()
        for job in records.all(Job):
            self._note_job(job)
        self._note_drops_visits()
        self._picking_ends = self._last_picks()
        self._place_of_method = {name: place for place, name in enumerate(self.methods)}
        self._shares_of_garden: dict[str, _Shares] = {}

    def recorded(self, tree: str) -> bool:
        """Whether it was said what this tree had: a job that names it, a bag, or a declaration.

        Counting its drops says nothing of what was done to it, and neither does pruning or watering.
        """
        return tree in self._named or self.has_bags(tree) or tree in self.declared

    def has_bags(self, tree: str) -> bool:
        """Whether any fruit of this tree was bagged."""
        return self.bags.get(tree, Bags()).any

    def mix(self, tree: str, place: str, cover: str) -> Mix | None:
        """The mix of a part of a tree; None where nothing is recorded of the tree."""
        if not self.recorded(tree):
            return None
        own = self._of_tree(tree, place)
        bagged_tree = self.has_bags(tree)
        if cover == Cover.BAGGED:
            own.whole.append(BAGGING)
        elif cover == Cover.NONE and bagged_tree:
            own.part.append(BAGGING)
        untreated = tree in self.declared and not own.any
        beside = cover == Cover.BARE and bagged_tree
        around = self._of_garden(self._orchard.trees[tree].garden)
        whole, part = self._ordered(own.whole + around.whole), self._ordered(own.part + around.part)
        return Mix(whole, part, untreated and not beside, beside)

    def _of_tree(self, tree: str, place: str) -> _Shares:
        """The methods that reach this tree alone, but for bagging, which is a matter of its fruit."""
        use = self._trees.get(tree, {})
        used = {name for _, name in use if name != BAGGING and self.methods[name].in_mix}
        return _Shares.of((name, self._share(self.methods[name], use, place)) for name in used)

    def _of_garden(self, garden: str) -> _Shares:
        """The methods that reach whole gardens."""
        if garden not in self._shares_of_garden:
            reaching = (
                method for method in self.methods.values() if method.in_mix and method.reach is Reach.GARDEN
            )
            shares = ((method.key, self._share_of_garden(method, garden)) for method in reaching)
            self._shares_of_garden[garden] = _Shares.of(shares)
        return self._shares_of_garden[garden]

    def _share(self, method: Method, use: _Use, place: str) -> str:
        here, everywhere = use.get((place, method.key), _NEVER), use.get(("whole", method.key), _NEVER)
        if len(here.wholly | everywhere.wholly) >= method.least_times:
            return "whole"
        on_a_part = place == "whole" and any(name == method.key for _, name in use)
        used = here.wholly or here.partly or everywhere.wholly or everywhere.partly or on_a_part
        return "part" if used else "none"

    def _share_of_garden(self, method: Method, garden: str) -> str:
        times = self._gardens.get(garden, {}).get(("whole", method.key), _NEVER)
        least = method.least_times
        if method.key == DROPS_ROUND:
            least = self._rounds_needed(garden, least)
        if len(times.wholly) >= least:
            return "whole"
        return "part" if times.wholly or times.partly else "none"

    def _rounds_needed(self, garden: str, a_month: int) -> int:
        """Rounds that make a garden one with drops rounds: so many a month from June drop to its last picking."""
        start, end = self._records.season.june_drop_ends, self._picking_ends.get(garden)
        months = (end - start).days / DAYS_A_MONTH if end and end > start else 1
        return max(a_month, int(a_month * months))

    def _note_job(self, job: Job) -> None:
        trees = self._trees_of(job)
        method = self.methods.get(job.method) or Method(job.method, job.method, Reach.TREE)
        self.methods.setdefault(job.method, method)
        if method.in_mix and (job.trees or method.reach is not Reach.GARDEN):
            self._named |= set(trees)
        if method.reach is Reach.GARDEN:
            gardens = {self._orchard.trees[tree].garden for tree in trees} | (
                {job.garden} if job.garden else set()
            )
            used = [_times(self._gardens, garden, "whole", method.key) for garden in gardens]
        else:
            used = [_times(self._trees, tree, job.place, method.key) for tree in trees]
        for times in used:
            (times.partly if job.partly else times.wholly).add(job.moment.first)

    def _trees_of(self, job: Job) -> list[str]:
        named = {self._orchard.one(tree) for tree in job.trees}
        if not job.trees and job.garden:
            named = set(self._orchard.of_garden(job.garden))
        return sorted(named & self._orchard.trees.keys())

    def _note_drops_visits(self) -> None:
        for visit in self._records.all(Visit):
            tree = self._orchard.one(visit.tree)
            if visit.round is Round.DROPS and tree in self._orchard.trees:
                garden = self._orchard.trees[tree].garden
                _times(self._gardens, garden, "whole", DROPS_ROUND).wholly.add(visit.moment.first)

    def _last_picks(self) -> dict[str, date]:
        found: dict[str, date] = {}
        picking = [visit for visit in self._records.all(Visit) if visit.round is Round.PICKING]
        picked: list[Visit | Pick] = [*picking, *self._records.all(Pick)]
        for record in picked:
            garden, day = self._orchard.garden_of(record.tree), record.moment.last
            if garden and day:
                found[garden.rec] = max(day, found.get(garden.rec, day))
        return found

    def _ordered(self, names: Iterable[str]) -> tuple[str, ...]:
        return tuple(sorted(set(names), key=self._place_of_method.__getitem__))


def _times(uses: dict[str, _Use], of: str, place: str, method: str) -> _Times:
    return uses.setdefault(of, {}).setdefault((place, method), _Times())


def _bags(records: SeasonRecords, orchard: Orchard) -> dict[str, Bags]:
    """Bags put on: over visits, took less left where given, else marks and numbers."""
    tallied: dict[str, float] = {}
    scored: set[str] = set()
    for count in records.tallies:
        if count.what == Tallied.BAG:
            tallied[count.visit] = tallied.get(count.visit, 0) + count.n
        elif count.cover == Cover.BAGGED:
            scored.add(count.visit)
    bags: dict[str, Bags] = {}
    for visit in records.all(Visit):
        tree = orchard.one(visit.tree)
        before = bags.get(tree, Bags())
        box = visit.bags_by_the_box
        put_on = box if box is not None else tallied.get(visit.rec, 0)
        bags[tree] = Bags(before.put_on + put_on, before.scored or visit.rec in scored)
    return bags


def _declarations(records: SeasonRecords, orchard: Orchard) -> dict[str, PlanLine]:
    """The first declaration of each tree that it is left untreated on purpose."""
    found: dict[str, PlanLine] = {}
    for line in sorted(records.all(PlanLine), key=lambda line: (line.moment.order, line.rec)):
        if line.left_untreated:
            found.setdefault(orchard.one(line.tree), line)
    return found

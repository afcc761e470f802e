"""The method mix that a tree really had, from jobs and tallies, never from the plan.

A method counts when its own "counts as" is met; less than that is *partly* and a mix of its own. *Not recorded*
(no job, no declaration) is never *untreated*.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.season.bags import Bags, bags_of_trees
from shared_models.season.drops_rounds import RoundDays, round_days, rounds_needed
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import BAGGING, DROPS_ROUND, METHODS, Cover, Method, Reach


@dataclass(frozen=True)
class Mix:
    """The methods of a tree or part, those it had only partly, and how its fruit stands to bags."""

    methods: tuple[str, ...] = ()
    partly: tuple[str, ...] = ()
    untreated: bool = False
    beside_bags: bool = False

    @cached_property
    def key(self) -> str:
        """The mix as one word: methods joined by "+", `~` before partly ones, `untreated` where declared."""
        parts = [*self.methods, *(f"~{name}" for name in self.partly)]
        if self.untreated:
            parts.append("untreated")
        return "+".join(parts) + ("|beside_bags" if self.beside_bags else "")


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
        self.bags = bags_of_trees(records, orchard)
        self._declared = _declarations(records, orchard)
        self._rounds = round_days(records, orchard)
        self._trees: dict[str, _Use] = {}
        self._gardens: dict[str, _Use] = {}
        self._named_by_garden_jobs: set[str] = set()
        for job in records.all(Job):
            self._note_job(job)
        self._place_of_method = {name: place for place, name in enumerate(self.methods)}
        self._shares_of_garden: dict[str, _Shares] = {}
        self._mixes: dict[Mix, Mix] = {}

    @cached_property
    def declared(self) -> dict[str, PlanLine]:
        """The declaration of each tree of which some or all was left untreated."""
        return {tree: line for (tree, _), line in reversed(self._declared.items())}

    def recorded(self, tree: str) -> bool:
        """Whether it was said what some part of this tree had: a job that names it, a bag, or a declaration.

        Counting its drops says nothing of what was done to it, and neither does pruning or watering.
        """
        in_jobs = any(self.methods[name].in_mix for _, name in self._trees.get(tree, {}))
        named = in_jobs or tree in self._named_by_garden_jobs
        return named or self.has_bags(tree) or tree in self.declared

    def has_bags(self, tree: str) -> bool:
        """Whether any fruit of this tree was bagged."""
        return self.bags.get(tree, Bags()).any

    def mix(self, tree: str, place: str, cover: str) -> Mix | None:
        """The mix of a part of a tree; None where nothing is recorded of that part. One object for all that had the same."""
        found = self._mix(tree, place, cover)
        return None if found is None else self._mixes.setdefault(found, found)

    def _mix(self, tree: str, place: str, cover: str) -> Mix | None:
        own = self._of_tree(tree, place)
        bagged_tree = self.has_bags(tree)
        if cover == Cover.BAGGED:
            own.whole.append(BAGGING)
        elif cover == Cover.NONE and bagged_tree:
            own.part.append(BAGGING)
        beside = cover == Cover.BARE and bagged_tree
        declared = (tree, "whole") in self._declared or (tree, place) in self._declared
        if not (own.any or beside or declared or tree in self._named_by_garden_jobs):
            return None
        around = self._of_garden(self._orchard.trees[tree].garden)
        whole, part = self._ordered(own.whole + around.whole), self._ordered(own.part + around.part)
        return Mix(whole, part, declared and not own.any and not beside, beside)

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
        if method.key == DROPS_ROUND:
            days = self._rounds.get(garden, RoundDays())
            least = rounds_needed(days, self._records.season.june_drop_ends, method.least_times)
            return _share_of(len(days.wholly), least, bool(days.wholly or days.partly))
        times = self._gardens.get(garden, {}).get(("whole", method.key), _NEVER)
        return _share_of(len(times.wholly), method.least_times, bool(times.wholly or times.partly))

    def _note_job(self, job: Job) -> None:
        trees = self.trees_of(job)
        method = self.methods.get(job.method) or Method(job.method, job.method, Reach.TREE)
        self.methods.setdefault(job.method, method)
        if method.reach is Reach.GARDEN:
            self._named_by_garden_jobs |= set(trees) if job.trees and method.in_mix else set()
            gardens = {self._orchard.trees[tree].garden for tree in trees} | (
                {job.garden} if job.garden else set()
            )
            used = [_times(self._gardens, garden, "whole", method.key) for garden in gardens]
        else:
            used = [_times(self._trees, tree, job.place, method.key) for tree in trees]
        for times in used:
            (times.partly if job.partly else times.wholly).add(job.moment.first)

    def trees_of(self, job: Job) -> list[str]:
        """The trees that a job was done to, each once, as it stands."""
        named = {self._orchard.one(tree) for tree in job.trees}
        if not job.trees and job.garden:
            named = set(self._orchard.of_garden(job.garden, job.moment.last))
        return sorted(named & self._orchard.trees.keys())

    def _ordered(self, names: Iterable[str]) -> tuple[str, ...]:
        return tuple(sorted(set(names), key=self._place_of_method.__getitem__))


def _times(uses: dict[str, _Use], of: str, place: str, method: str) -> _Times:
    return uses.setdefault(of, {}).setdefault((place, method), _Times())


def _share_of(times: int, least: int, any_at_all: bool) -> str:
    return "whole" if times >= least else "part" if any_at_all else "none"


def _declarations(records: SeasonRecords, orchard: Orchard) -> dict[tuple[str, str], PlanLine]:
    """The first declaration of each tree and place that it is left untreated on purpose."""
    found: dict[tuple[str, str], PlanLine] = {}
    for line in sorted(records.all(PlanLine), key=lambda line: (line.moment.order, line.rec)):
        if line.left_untreated:
            found.setdefault((orchard.one(line.tree), line.place), line)
    return found

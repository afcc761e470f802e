"""Trees in walking order as the places Bags and Picking list them: what was put on, scored and planned. Writes nothing.

Offers `bag_rows`, `pick_rows`, `plan_in_words`, `tree_after`. Each reads a season's visits once, however many trees.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import put_on
from mobile.workflows.job import method_choices
from mobile.workflows.moments import season_of_garden, today
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.tally import number_in_words
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.language import say, spoken
from shared_models.method_words import METHOD_NAMES
from shared_models.records.gardens import PlanLine
from shared_models.records.tallies import Visit
from shared_models.vocabulary import METHODS, Round, Tallied


@dataclass(frozen=True, slots=True)
class BagRow:
    """One tree of the list of bags: put on today and in all this season; `open` is the unfinished visit of today."""

    tree: TreeLine
    today: float
    on_tree: float
    open: str | None
    in_words: str


@dataclass(frozen=True, slots=True)
class PickRow:
    """One tree of the list of picking: fruit scored this season, when last, what is planned for it."""

    tree: TreeLine
    scored: float
    last: str | None
    planned: str
    in_words: str


def bag_rows(store: PhoneStore) -> list[BagRow]:
    """Every standing tree with the bags of its season."""
    trees, day = TreeList(store), today(store)
    visits = _by_tree(store, trees, Round.BAGGING)
    device = store.identity.device if store.identity else ""
    unended = {visit.rec for visit in store.few.unended(Visit, device)}
    several = len({line.garden for line in trees.standing()}) > 1
    found = []
    for line in trees.standing():
        of_tree = [(visit, put_on(store, visit)) for visit in visits.get(line.tree, ())]
        on_tree = sum(number for _, number in of_tree)
        now = sum(number for visit, number in of_tree if visit.moment.day == day)
        begun = [visit for visit, _ in of_tree if visit.rec in unended and visit.moment.day == day]
        told = _bags_in_words(now, on_tree, begun)
        newest = max((visit.rec for visit in begun), default=None)
        found.append(BagRow(line, now, on_tree, newest, _joined(_of_tree(line, several), told)))
    return found


def pick_rows(store: PhoneStore) -> list[PickRow]:
    """Every standing tree with what was scored of it in its season and what is planned for it."""
    trees = TreeList(store)
    visits, plans = _by_tree(store, trees, Round.PICKING), _plans(store, trees)
    several = len({line.garden for line in trees.standing()}) > 1
    found = []
    for line in trees.standing():
        of_tree = visits.get(line.tree, [])
        scored = sum(_fruit(store, visit) for visit in of_tree)
        last = max(of_tree, key=lambda visit: (visit.moment.order, visit.rec), default=None)
        when = when_in_words(last.when) if last else None
        planned = plans.get(line.tree, "")
        told = (planned, _scored_in_words(scored, when))
        found.append(PickRow(line, scored, when, planned, _joined(_of_tree(line, several), told)))
    return found


def plan_in_words(store: PhoneStore, tree: str, trees: TreeList | None = None) -> str:
    """What is planned for a tree this season, or that it is left untreated; empty where nothing is."""
    listed = trees or TreeList(store)
    line = listed.line(tree)
    season = season_of_garden(store, line.garden)
    named = store.few.naming(PlanLine, listed.records_of(tree))
    return _planned_in_words(store, [one for one in named if one.season == season])


def tree_after(store: PhoneStore, tree: str, trees: TreeList | None = None) -> TreeLine | None:
    """The next standing tree in walking order, into the next garden too; None after the last."""
    listed = trees or TreeList(store)
    row = listed.standing()
    places = [place for place, line in enumerate(row) if line.tree == listed.one(tree)]
    after = row[places[0] + 1 :] if places else []
    return after[0] if after else None


def _by_tree(store: PhoneStore, trees: TreeList, round_: Round) -> dict[str, list[Visit]]:
    """The visits of a round in the season that it is now in each tree's garden."""
    gardens = {line.tree: line.garden for line in trees.all()}
    season_at = _season_at(store)
    now = {garden: season_of_garden(store, garden) for garden in set(gardens.values())}
    found: dict[str, list[Visit]] = {}
    for key in sorted({key for key in now.values() if key}):
        for visit in store.few.of_season(Visit, key):
            tree = trees.one(visit.tree)
            garden = gardens.get(tree)
            here = visit.round is round_ and garden is not None and now[garden] == key
            if here and garden and (visit.season or season_at(garden, visit.when)) == key:
                found.setdefault(tree, []).append(visit)
    return found


def _season_at(store: PhoneStore) -> Callable[[str, str], str | None]:
    """The season of a moment in a garden, reckoned once a day that occurs and not once a visit."""

    @cache
    def of_day(garden: str, day: str) -> str | None:
        return season_of_garden(store, garden, day)

    return lambda garden, when: of_day(garden, when if "/" in when else when[:10])


def _plans(store: PhoneStore, trees: TreeList) -> dict[str, str]:
    gardens = {line.tree: line.garden for line in trees.all()}
    now = {garden: season_of_garden(store, garden) for garden in set(gardens.values())}
    lines: dict[str, list[PlanLine]] = {}
    for one in store.few.standing(PlanLine):
        tree = trees.one(one.tree)
        if tree in gardens and one.season == now[gardens[tree]]:
            lines.setdefault(tree, []).append(one)
    names = _names(store)
    return {tree: _in_words(planned, names) for tree, planned in lines.items()}


def _planned_in_words(store: PhoneStore, lines: list[PlanLine]) -> str:
    return _in_words(lines, _names(store)) if lines else ""


def _names(store: PhoneStore) -> dict[str, str]:
    own = {method.key: method.name for method in method_choices(store) if method.key not in METHODS}
    return {key: spoken(name) for key, name in METHOD_NAMES.items()} | own


def _in_words(lines: Iterable[PlanLine], names: dict[str, str]) -> str:
    known = list(lines)
    if any(line.left_untreated for line in known):
        return say("left untreated")
    methods = dict.fromkeys(key for line in known for key in line.methods or ())
    if not methods:
        return ""
    return say("planned: {methods}", methods=" + ".join(names.get(key, key) for key in methods))


def _fruit(store: PhoneStore, visit: Visit) -> float:
    return max(0.0, sum(count.n for count in store.tallies(visit.rec) if count.what == Tallied.FRUIT))


def _bags_in_words(now: float, on_tree: float, begun: list[Visit]) -> Iterator[str]:
    if begun:
        yield say("not finished")
    if now:
        yield say("{number} today", number=number_in_words(now))
    yield say("{number} on the tree", number=number_in_words(on_tree)) if on_tree else say("no bags yet")


def _scored_in_words(scored: float, when: str | None) -> str:
    if when is None:
        return say("not scored yet")
    return say("{number} fruit scored, last {when}", number=number_in_words(scored), when=when)


def _of_tree(line: TreeLine, several_gardens: bool) -> str:
    return " · ".join([*([line.garden_name] if several_gardens else []), *line.cultivars])


def _joined(first: str, rest: str | Iterable[str]) -> str:
    parts = [first, *([rest] if isinstance(rest, str) else rest)]
    return " · ".join(part for part in parts if part)

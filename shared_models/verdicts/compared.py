"""The trees that can be compared: what each had by itself, where it stands, what it bears. Knows no question yet.

A tree stands once in a cell: own methods × garden × cultivar. All cells of a season share their spread.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from shared_models.calculations.spread import MethodRate, method_rates
from shared_models.calculations.weighted_samples import WeightedRate
from shared_models.season.mixes import Mix
from shared_models.season.rows import SeasonRows, TreeInMix
from shared_models.vocabulary import BAGGING, UNTREATED, Method, Reach

PICKED, ALL_FRUIT = "picked", "all_fruit"


@dataclass(frozen=True, slots=True, order=True)
class Own:
    """What a tree itself had, without what reaches its whole garden."""

    methods: tuple[str, ...] = ()
    partly: tuple[str, ...] = ()
    untreated: bool = False

    @property
    def key(self) -> str:
        """As one word, like a mix's."""
        return Mix(self.methods, self.partly, self.untreated).key

    @property
    def said(self) -> bool:
        """Whether it is known what the tree had: silence is not untreated."""
        return bool(self.methods or self.partly or self.untreated)

    def without(self, method: str) -> "Own":
        """The same without one method; where nothing is left, its counterpart is a tree declared untreated."""
        methods = tuple(name for name in self.methods if name != method)
        return Own(methods, self.partly, not (methods or self.partly))


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """Trees of one garden and cultivar (empty: not noted) that had the same."""

    own: Own
    garden: str
    cultivar: str


@dataclass(frozen=True, slots=True)
class ComparedTree:
    """One tree in one cell, with all that its mix says."""

    share: TreeInMix
    cell: Cell
    tree: str

    def rate(self, headline: str) -> WeightedRate:
        """Its damage by the definition that leads; KeyError where fruit other than picked is not known."""
        if headline == PICKED:
            return self.share.picked
        if self.share.all_fruit is None:
            raise KeyError(self.tree)
        return self.share.all_fruit

    def counts(self, headline: str) -> tuple[float, float]:
        """(damaged, scored) as effective fruit: what its samples are worth."""
        found = self.rate(headline)
        return found.effective_damaged, found.effective_scored

    def weighed(self, headline: str) -> tuple[float, float]:
        """(damaged, fruit) as which it counts among other trees."""
        return self.rate(headline).weighed


class Compared:
    """What a season offers for comparison."""

    def __init__(self, season: SeasonRows, shares: Iterable[TreeInMix]) -> None:
        self.season = season
        self.shares = list(shares)
        self._methods = season.treatments.methods
        self._owns: dict[Mix, Own] = {}
        self._known: dict[Cell, Cell] = {}  # one object for all trees of a cell
        self.trees = [
            ComparedTree(share, self._cell(share), share.tree)
            for share in self.shares
            if not share.mix.beside_bags
        ]

    @cached_property
    def cells(self) -> dict[Cell, list[ComparedTree]]:
        """Trees by cell, both in a fixed order. A tree of which nothing is said of its own stands in none."""
        found: dict[Cell, list[ComparedTree]] = {}
        for tree in self.trees:
            if tree.cell.own.said:
                found.setdefault(tree.cell, []).append(tree)
        return dict(sorted(found.items()))

    @cached_property
    def picked_rates(self) -> dict[Cell, MethodRate]:
        """Damage of picked fruit in each cell, spread shared over all of them."""
        return rates_of(self.cells, PICKED)

    @cached_property
    def all_fruit_rates(self) -> dict[Cell, MethodRate]:
        """Damage of all fruit in the cells of which every tree's drops and removals are known."""
        known = {
            cell: trees
            for cell, trees in self.cells.items()
            if all(tree.share.all_fruit is not None for tree in trees)
        }
        return rates_of(known, ALL_FRUIT)

    def rates(self, headline: str) -> dict[Cell, MethodRate]:
        """The rates by the definition that leads."""
        return self.picked_rates if headline == PICKED else self.all_fruit_rates

    @cached_property
    def owns(self) -> dict[Own, int]:
        """What trees had, and how many."""
        found: dict[Own, int] = {}
        for cell, trees in self.cells.items():
            found[cell.own] = found.get(cell.own, 0) + len(trees)
        return found

    def reach(self, method: str) -> Reach:
        """What a method protects; one that nobody explained protects the tree."""
        known: Method | None = self._methods.get(method)
        return known.reach if known else Reach.TREE

    def own(self, methods: Sequence[str]) -> Own:
        """What a named mix asks of a tree itself, in the order of the season's methods."""
        names = {name for name in methods if name != UNTREATED and self.reach(name) is not Reach.GARDEN}
        place = {name: number for number, name in enumerate(self._methods)}
        kept = tuple(sorted(names, key=lambda name: (place.get(name, len(place)), name)))
        return Own(kept, (), not kept)

    def garden_methods(self, methods: Sequence[str]) -> frozenset[str]:
        """Those of some methods that reach whole gardens."""
        return frozenset(name for name in methods if self.reach(name) is Reach.GARDEN)

    @cached_property
    def not_scored(self) -> dict[tuple[Own, str], list[str]]:
        """Trees of which it is recorded what they had, but no picked fruit was scored: by that and their garden."""
        season, scored = self.season, {share.tree for share in self.shares}
        found: dict[tuple[Own, str], list[str]] = {}
        for tree, standing in season.orchard.trees.items():
            if tree in scored or tree in season.left_out or standing.retired or not season.looked_at(tree):
                continue
            mix = season.treatments.mix(tree, "whole", "none") if season.treatments.recorded(tree) else None
            if mix is not None:
                found.setdefault((self._own(mix), standing.garden), []).append(tree)
        return found

    def _cell(self, share: TreeInMix) -> Cell:
        orchard = self.season.orchard
        garden, cultivar = orchard.trees[share.tree].garden, orchard.cultivars.get(share.tree, "")
        cell = Cell(self._own(share.mix), garden, cultivar)
        return self._known.setdefault(cell, cell)

    def _own(self, mix: Mix) -> Own:
        if mix not in self._owns:
            self._owns[mix] = Own(
                tuple(name for name in mix.methods if self.reach(name) is not Reach.GARDEN),
                tuple(name for name in mix.partly if self.reach(name) is not Reach.GARDEN),
                mix.untreated,
            )
        return self._owns[mix]


def rates_of(cells: Mapping[Cell, Sequence[ComparedTree]], headline: str) -> dict[Cell, MethodRate]:
    """Damage of cells that share their spread."""
    return method_rates(
        {cell: [tree.rate(headline).among_others for tree in trees] for cell, trees in cells.items()}
    )


def is_bagged(own: Own) -> bool:
    """Whether fruit of such trees was bagged."""
    return BAGGING in own.methods

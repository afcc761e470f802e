"""Who stands against whom in a question: strata of trees alike in all else, and the trees that no stratum can use."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from shared_models.calculations.spread import MethodRate
from shared_models.verdicts.compared import ALL_FRUIT, PICKED, Cell, Compared, ComparedTree, Own, rates_of
from shared_models.verdicts.questions import Kind, Question


@dataclass(frozen=True, slots=True)
class Stratum:
    """Trees of one garden and cultivar that are alike in everything but what is asked; a side may be empty."""

    rest: Own
    garden: str
    cultivar: str
    a: tuple[ComparedTree, ...]
    b: tuple[ComparedTree, ...]

    @property
    def both(self) -> bool:
        """Whether it can tell the sides apart."""
        return bool(self.a and self.b)


@dataclass(frozen=True)
class Sides:
    """All strata of a question, and what separates its sides where no stratum holds both."""

    question: Question
    strata: list[Stratum]
    headline: str
    rates: Mapping[Cell, MethodRate]

    @cached_property
    def used(self) -> list[Stratum]:
        """The strata that hold both sides."""
        return [stratum for stratum in self.strata if stratum.both]

    def trees(self, side: str, everything: bool = False) -> list[ComparedTree]:
        """The compared trees of side a or b; all of them also where no stratum separates them."""
        return self._everything[side] if everything else self._compared[side]

    @cached_property
    def _compared(self) -> dict[str, list[ComparedTree]]:
        return _trees_of(self.used or self.strata)

    @cached_property
    def _everything(self) -> dict[str, list[ComparedTree]]:
        return _trees_of(self.strata)

    @cached_property
    def not_used(self) -> list[str]:
        """Trees that stand in a stratum with one side only."""
        used = {tree.tree for side in "ab" for tree in self.trees(side)}
        return sorted({tree.tree for side in "ab" for tree in self.trees(side, True)} - used)

    @cached_property
    def stratum_rates(self) -> list[tuple[MethodRate, MethodRate]]:
        """The rates of both sides in each stratum that holds both."""
        return [(self.rates[one.a[0].cell], self.rates[one.b[0].cell]) for one in self.used]

    def counts(self, side: str) -> list[tuple[float, float]]:
        """(damaged, fruit) of the trees of a side, as they count among others."""
        return [tree.weighed(self.headline) for tree in self.trees(side)]

    def confounded_with(self) -> list[str]:
        """What else differs wherever the sides do: cultivar, garden, or other methods; empty where separated."""
        if self.used or not (self.trees("a") and self.trees("b")):
            return []
        cells = [(one.rest, one.garden, one.cultivar, bool(one.a)) for one in self.strata]

        def shared(*places: int) -> bool:
            sides = [
                {tuple(cell[place] for place in places) for cell in cells if cell[3] is side}
                for side in (True, False)
            ]
            return bool(sides[0] & sides[1])

        if shared(0, 1):
            return ["cultivar"]
        if shared(0, 2):
            return ["garden"]
        return ["cultivar", "garden"] if shared(0) else ["methods"]


def _trees_of(strata: Sequence[Stratum]) -> dict[str, list[ComparedTree]]:
    return {
        "a": [tree for stratum in strata for tree in stratum.a],
        "b": [tree for stratum in strata for tree in stratum.b],
    }


def sides_of(question: Question, compared: Compared) -> Sides:
    """The sides of a question between trees. Damage of all fruit leads where it is known of every tree."""
    strata = _strata(question, compared)
    chosen = [tree for stratum in strata if stratum.both for tree in (*stratum.a, *stratum.b)]
    known = bool(chosen) and all(tree.share.all_fruit is not None for tree in chosen)
    headline = ALL_FRUIT if known else PICKED
    return Sides(question, strata, headline, _rates(strata, headline, compared))


def _rates(strata: Sequence[Stratum], headline: str, compared: Compared) -> Mapping[Cell, MethodRate]:
    """Those of the season, unless a tree stands on both sides: it is taken out of this question, and all are anew."""
    of_season = compared.rates(headline)
    here: dict[Cell, Sequence[ComparedTree]] = {
        trees[0].cell: trees for one in strata for trees in (one.a, one.b) if one.both
    }
    if all(len(trees) == len(compared.cells[cell]) for cell, trees in here.items()):
        return of_season
    others = {cell: compared.cells[cell] for cell in of_season if cell not in here}
    return rates_of({**others, **here}, headline)


def _strata(question: Question, compared: Compared) -> list[Stratum]:
    found: dict[tuple[Own, str, str], dict[str, list[ComparedTree]]] = {}
    alike = {rest for own in compared.owns for side, rest in _side_of(question, own) if side == "a"}
    for cell, trees in compared.cells.items():
        for side, rest in _side_of(question, cell.own):
            if question.kind is Kind.MIXES or rest in alike:
                key = (rest, cell.garden, cell.cultivar)
                found.setdefault(key, {"a": [], "b": []})[side] += trees
    both = _on_both_sides(found.values())
    return [
        Stratum(*key, *(tuple(tree for tree in sides[side] if tree.tree not in both) for side in "ab"))
        for key, sides in sorted(found.items())
    ]


def _side_of(question: Question, own: Own) -> Iterator[tuple[str, Own]]:
    """The side of trees that had this, and what they had besides; nothing where they are on neither."""
    if question.kind is Kind.MIXES:
        if own in (question.a, question.b):
            yield ("a" if own == question.a else "b"), Own()
    elif question.method in own.methods:
        yield "a", own.without(question.method or "")
    elif question.method not in own.partly:
        yield "b", own


def _on_both_sides(strata: Iterable[Mapping[str, Sequence[ComparedTree]]]) -> set[str]:
    """Trees whose parts had different things: one tree is never two trees."""
    sides: dict[str, set[str]] = {"a": set(), "b": set()}
    for one in strata:
        for side, trees in one.items():
            sides[side] |= {tree.tree for tree in trees}
    return sides["a"] & sides["b"]

"""A method that reaches whole gardens, drawn up: gardens with it against gardens without, each garden one. Judges nothing.

Trees that had the same of their own are put together garden by garden; of several such mixes the one that most
gardens share. Never more than leaning.
"""

import math
from collections import defaultdict

from shared_models.calculations.contrasts import difference, permutation_p
from shared_models.calculations.spread import PRIOR_ICC, method_rates
from shared_models.season.named_parts import Warned
from shared_models.season.rates import FEW_TREES
from shared_models.season.rounding import edge
from shared_models.season.verdict_parts import SideLine, StratumLine
from shared_models.verdicts.compared import PICKED, Compared, ComparedTree, Own
from shared_models.verdicts.judged import Numbers
from shared_models.verdicts.line import Drawn, own_named

_Gardens = dict[str, list[ComparedTree]]


def between_gardens(method: str, compared: Compared) -> Drawn:
    """Gardens with the method against gardens without it."""
    own, a, b = _chosen(method, compared)
    counts_a, counts_b = ([_counts(trees) for trees in side.values()] for side in (a, b))
    rates = method_rates({"a": counts_a, "b": counts_b}) if a and b else None
    found = difference(rates["a"], rates["b"]) if rates else None
    return Drawn(
        numbers=Numbers.of(found, (len(a), len(b)), lambda: permutation_p(counts_a, counts_b)),
        headline=PICKED,
        side_a=_side(a, counts_a),
        side_b=_side(b, counts_b),
        icc=max((one.icc_used for one in rates.values()), default=PRIOR_ICC) if rates else PRIOR_ICC,
        doubts=_doubts(a, b),
        strata=_strata(own, a, b),
    )


def _chosen(method: str, compared: Compared) -> tuple[Own, _Gardens, _Gardens]:
    """The own mix that most gardens on both sides share, and its trees by garden."""
    sides: dict[Own, tuple[_Gardens, _Gardens]] = defaultdict(lambda: ({}, {}))
    for cell, trees in compared.cells.items():
        for tree in trees:
            mix = tree.share.mix
            if method not in mix.partly:
                side = sides[cell.own][0 if method in mix.methods else 1]
                side.setdefault(cell.garden, []).append(tree)
    if not sides:
        return Own(), {}, {}
    own = min(sides, key=lambda one: (-min(map(len, sides[one])), -sum(map(len, sides[one])), one))
    return own, *sides[own]


def _counts(trees: list[ComparedTree]) -> tuple[float, float]:
    found = [tree.weighed(PICKED) for tree in trees]
    return math.fsum(x for x, _ in found), math.fsum(n for _, n in found)


def _side(gardens: _Gardens, counts: list[tuple[float, float]]) -> SideLine:
    trees = [tree for side in gardens.values() for tree in side]
    fruit = math.fsum(n for _, n in counts)
    return SideLine(
        trees=len(gardens),
        scored=edge(sum(tree.share.scored for tree in trees)),
        damaged=edge(sum(tree.share.damaged for tree in trees)),
        rate=edge(math.fsum(x for x, _ in counts) / fruit) if fruit else None,
    )


def _strata(own: Own, a: _Gardens, b: _Gardens) -> list[StratumLine]:
    def points(gardens: _Gardens) -> list[tuple[str, float, float]]:
        counted = [(garden, _counts(trees)) for garden, trees in sorted(gardens.items())]
        return [(garden, edge(x), edge(n)) for garden, (x, n) in counted]

    if not a and not b:
        return []
    return [StratumLine(alike=own_named(own), garden=None, cultivar=None, a=points(a), b=points(b))]


def _doubts(a: _Gardens, b: _Gardens) -> list[Warned]:
    few = min(len(a), len(b))
    found = [
        Warned(code="NOTHING_ALIKE", count=int(few == 0)),
        Warned(code="FEW_GARDENS", count=few if 0 < few < FEW_TREES else 0),
    ]
    return [one for one in found if one.count]

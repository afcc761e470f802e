"""A question between different trees, drawn up: rates in strata, efficacy, fruit saved for the work. Judges nothing."""

import math

from shared_models.calculations.costs import per_fruit_saved
from shared_models.calculations.spread import PRIOR_ICC
from shared_models.calculations.strata import Stratified
from shared_models.season.labour import Labour
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.verdict_parts import EfficacyLine, FruitSavedLine, SideLine, StratumLine
from shared_models.verdicts.compared import PICKED, Compared, ComparedTree
from shared_models.verdicts.doubts import Seen, doubts_of
from shared_models.verdicts.judged import compared_in_strata, numbers_of, prevented, side_rates
from shared_models.verdicts.line import Drawn, own_named
from shared_models.verdicts.questions import Kind, Question
from shared_models.verdicts.sides import Sides, Stratum, sides_of

LEAST_TREES, LEAST_DAMAGE = 3, 0.02  # trees a side, and share: below them nothing is said of damage prevented
NO_USE_BELOW = -100.0  # per cent: a lower limit of efficacy beyond "twice the damage" tells nothing


def between_trees(question: Question, compared: Compared, seen: Seen, labour: Labour) -> Drawn:
    """The question with its numbers."""
    sides = sides_of(question, compared)
    found = compared_in_strata(sides)
    rates = sides.stratum_rates
    a, b = side_rates(rates) if found else (_crude(sides, "a"), _crude(sides, "b"))
    return Drawn(
        numbers=numbers_of(sides, found),
        headline=sides.headline,
        side_a=_side(sides, "a", a),
        side_b=_side(sides, "b", b),
        icc=max((one.icc_used for pair in rates for one in pair), default=PRIOR_ICC),
        doubts=doubts_of(sides, seen),
        strata=[_stratum(one, sides) for one in sides.used or sides.strata],
        not_used=sides.not_used if sides.used else [],
        efficacy=_efficacy(sides, found, b),
        fruit_saved=_fruit_saved(sides, found, labour),
    )


def _crude(sides: Sides, side: str) -> float | None:
    """What the trees of a side had, where nothing separates the sides."""
    counts = sides.counts(side)
    return math.fsum(x for x, _ in counts) / math.fsum(n for _, n in counts) if counts else None


def _side(sides: Sides, side: str, rate: float | None) -> SideLine:
    trees = sides.trees(side)
    picked = sides.headline == PICKED
    return SideLine(
        trees=len(trees),
        scored=edge(sum(one.share.scored if picked else one.share.all_scored for one in trees)),
        damaged=edge(sum(one.share.damaged if picked else one.share.all_damaged for one in trees)),
        rate=edge_if_known(rate),
    )


def _stratum(one: Stratum, sides: Sides) -> StratumLine:
    def points(trees: tuple[ComparedTree, ...]) -> list[tuple[str, float, float]]:
        counted = ((tree.tree, *tree.counts(sides.headline)) for tree in trees)
        return [(tree, edge(x), edge(n)) for tree, x, n in counted]

    alike = own_named(one.rest) if sides.question.kind is Kind.WITH_WITHOUT else None
    return StratumLine(
        alike=alike, garden=one.garden, cultivar=one.cultivar or None, a=points(one.a), b=points(one.b)
    )


def _efficacy(sides: Sides, found: Stratified | None, untreated: float | None) -> EfficacyLine | None:
    """Only against trees declared untreated, enough of them, with enough damage to prevent."""
    against = sides.trees("b") if sides.used else []
    if min(len(against), len(sides.trees("a"))) < LEAST_TREES or not all(
        tree.cell.own.untreated for tree in against
    ):
        return None
    told = prevented(sides.stratum_rates, found)
    if told is None or untreated is None or untreated < LEAST_DAMAGE:
        return None
    percent, low, high = told
    bounded = low is not None and low >= NO_USE_BELOW
    return EfficacyLine(percent=edge(percent), low=edge_if_known(low if bounded else None), high=edge(high))


def _fruit_saved(sides: Sides, found: Stratified | None, labour: Labour) -> FruitSavedLine | None:
    """Minutes a fruit saved: for one method against trees without it, where the crop of all its trees is known."""
    method = _one_method(sides.question)
    trees = sides.trees("a") if sides.used else []
    crops = [tree.rate(sides.headline).total for tree in trees]
    if method is None or found is None or len(crops) < LEAST_TREES or None in crops:
        return None
    fruit = math.fsum(crop for crop in crops if crop is not None)
    minutes, at_least = labour.minutes(method, (tree.tree for tree in trees))
    if minutes is None or fruit <= 0:
        return None
    cost = per_fruit_saved(minutes, fruit, -found.difference, -found.high, -found.low)
    return FruitSavedLine(
        minutes=edge(minutes),
        fruit=edge(fruit),
        cost=_finite(cost.cost),
        low=_finite(cost.low),
        high=_finite(cost.high),
        at_least=at_least,
    )


def _one_method(question: Question) -> str | None:
    if question.kind is Kind.WITH_WITHOUT:
        return question.method
    a, b = question.a, question.b
    alone = a is not None and len(a.methods) == 1 and b is not None and b.untreated
    return a.methods[0] if a is not None and alone else None


def _finite(value: float | None) -> float | None:
    return edge_if_known(None if value is None or math.isinf(value) else value)

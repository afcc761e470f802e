"""One contrast as it stands in the report, rounded at the edge. Knows what was judged, and judges nothing."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from shared_models.calculations.sample_size import trees_needed
from shared_models.calculations.verdict import Grade, Missing
from shared_models.season.named_parts import Warned
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.verdict_parts import (
    ContrastLine,
    EfficacyLine,
    FruitSavedLine,
    OtherwiseLine,
    OwnNamed,
    SettleLine,
    SideLine,
    StratumLine,
)
from shared_models.verdicts.compared import Own
from shared_models.verdicts.judged import Judged, Numbers
from shared_models.verdicts.questions import Asked

FRUIT_PER_TREE = 30  # what a keeper is asked to score; more on one tree tells little more
LEAST_POINTS = 0.05  # a smaller difference is not worth settling (a convention of this project)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A question with its numbers, before it is judged. `icc` is the likeness that a next season is planned with."""

    numbers: Numbers
    headline: str
    side_a: SideLine
    side_b: SideLine
    icc: float
    doubts: list[Warned]
    strata: list[StratumLine]
    not_used: list[str] = field(default_factory=list)
    efficacy: EfficacyLine | None = None
    fruit_saved: FruitSavedLine | None = None
    otherwise: list[OtherwiseLine] = field(default_factory=list)


def line_of(
    one: Asked,
    drawn: Drawn,
    judged: Judged,
    holm_p: float | None,
    family: int,
    doubts: Sequence[Warned],
    otherwise: list[OtherwiseLine],
) -> ContrastLine:
    """The line of the report."""
    question, numbers = one.question, drawn.numbers
    return ContrastLine(
        key=question.key,
        kind=question.kind.value,
        method=question.method,
        a=own_named(question.a),
        b=own_named(question.b),
        named_at=one.named_at,
        before_scoring=one.before_scoring,
        headline=drawn.headline,
        side_a=drawn.side_a,
        side_b=drawn.side_b,
        difference=edge_if_known(numbers.difference),
        low=edge_if_known(numbers.low),
        high=edge_if_known(numbers.high),
        p=edge_if_known(numbers.p),
        holm_p=edge_if_known(holm_p),
        lock_p=edge_if_known(judged.lock_p),
        welch_p=edge_if_known(numbers.welch),
        grade=judged.grade,
        missing=list(judged.graded.missing),
        caps=judged.caps,
        efficacy=drawn.efficacy,
        settle=_settle(drawn, judged, family),
        fruit_saved=drawn.fruit_saved,
        otherwise=otherwise,
        strata=drawn.strata,
        not_used=drawn.not_used,
        warnings=list(doubts),
    )


def own_named(own: Own | None) -> OwnNamed | None:
    """What trees had, as the report names it."""
    if own is None:
        return None
    return OwnNamed(methods=list(own.methods), partly=list(own.partly), untreated=own.untreated)


def _settle(drawn: Drawn, judged: Judged, family: int) -> SettleLine | None:
    """How many trees would settle it; None where it is settled, or more trees would not help."""
    a, b, numbers = drawn.side_a.rate, drawn.side_b.rate, judged.numbers
    helps = {Missing.TREES, Missing.P, Missing.HOLM, Missing.LOCK, Missing.RANGE, Missing.WELCH}
    if judged.grade in (Grade.FIRM, Grade.SAME) or a is None or b is None or not numbers.separated:
        return None
    if not helps & set(judged.graded.missing):
        return None
    points = max(abs(a - b), LEAST_POINTS)
    low = min(max(0.0, (a + b) / 2 - points / 2), 1.0 - points)
    needed = trees_needed(low + points, low, FRUIT_PER_TREE, drawn.icc, family)
    few = min(numbers.trees_a, numbers.trees_b)
    return SettleLine(
        points=edge(points),
        fruit_per_tree=FRUIT_PER_TREE,
        trees_needed=needed,
        more_trees=max(1, needed - few),
    )

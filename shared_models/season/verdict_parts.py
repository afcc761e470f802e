"""The parts of a report that compare: contrasts with the numbers behind them, costs, and what more would tell.

Plain values; no words, no clock. Differences are shares of fruit [-1..1], first side less second.
"""

from shared_models.calculations.verdict import Grade, Missing
from shared_models.season.named_parts import Part, Warned


class OwnNamed(Part):
    """What trees themselves had, without what their whole garden had; `untreated` where that was declared."""

    methods: list[str]
    partly: list[str]
    untreated: bool


class SideLine(Part):
    """One side of a contrast: its trees and fruit that were compared, and their damage (weighted as strata are)."""

    trees: int
    scored: float
    damaged: float
    rate: float | None


class StratumLine(Part):
    """Trees that are alike in everything but what is compared: (tree, damaged, scored), as effective fruit.

    `garden` and `cultivar` are None where several were put together.
    """

    alike: OwnNamed | None
    garden: str | None
    cultivar: str | None
    a: list[tuple[str, float, float]]
    b: list[tuple[str, float, float]]


class EfficacyLine(Part):
    """Damage prevented, in per cent of that of untreated trees; `low` None: the data leave it open."""

    percent: float
    low: float | None
    high: float | None


class SettleLine(Part):
    """What would settle a contrast: trees a side, with so much fruit each, to tell a difference of so many points."""

    points: float
    fruit_per_tree: int
    trees_needed: int
    more_trees: int


class FruitSavedLine(Part):
    """Minutes of work for each fruit saved; `cost` None: none saved as far as seen; `high` None: no upper limit.

    `at_least` says that some of the work has no time noted.
    """

    minutes: float
    fruit: float
    cost: float | None
    low: float | None
    high: float | None
    at_least: bool


class OtherwiseLine(Part):
    """The same contrast counted another way: `how` is with_left_out or bag_stayed_on."""

    how: str
    grade: Grade
    difference: float | None
    low: float | None
    high: float | None


class ContrastLine(Part):
    """One comparison. `kind` is with_without (a method, otherwise alike), mixes, paired (on the same tree), or gardens.

    `named_at` is when it was named, None where it was found afterwards; `before_scoring` says that it counts as
    planned. `p` is the model's, `holm_p` that adjusted for all planned ones, `lock_p` the permutation's (only
    worked out where it decides), `welch_p` that of tree rates where sides are lopsided.
    """

    key: str
    kind: str
    method: str | None
    a: OwnNamed | None
    b: OwnNamed | None
    named_at: str | None
    before_scoring: bool
    headline: str
    side_a: SideLine
    side_b: SideLine
    difference: float | None
    low: float | None
    high: float | None
    p: float | None
    holm_p: float | None
    lock_p: float | None
    welch_p: float | None
    grade: Grade
    missing: list[Missing]
    caps: list[str]
    efficacy: EfficacyLine | None
    settle: SettleLine | None
    fruit_saved: FruitSavedLine | None
    otherwise: list[OtherwiseLine]
    strata: list[StratumLine]
    not_used: list[str]
    warnings: list[Warned]


class CostLine(Part):
    """What one method took. `minutes` None: no time was noted. `untimed` pieces of work have none, so it is at least that.

    `open_ends` are sessions that were never ended and count a quarter of an hour at most.
    """

    method: str
    trees: int
    minutes: float | None
    timed: int
    untimed: int
    open_ends: int
    people: int
    money: float | None
    bags: float | None


class NarrowingLine(Part):
    """Width of a mix's 95 % range now, with more fruit on each of its trees, and with more trees [share of fruit]."""

    now: float
    more_fruit: int
    with_more_fruit: float
    more_trees: int
    with_more_trees: float

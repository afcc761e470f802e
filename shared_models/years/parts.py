"""The parts of a report over several seasons. Plain values; no words, no clock. Shares [0..1] to six decimals."""

from enum import StrEnum

from shared_models.calculations.verdict import Grade, Missing
from shared_models.season.named_parts import MethodNamed, Part, Warned
from shared_models.season.verdict_parts import OwnNamed
from shared_models.seasons import Hemisphere

LEAST_SEASONS = 3  # for an opinion on a tree (a convention of this project)
LEAST_OTHERS = 4  # trees of a garden with everything known, for a middle to compare with


class YearOfContrast(Part):
    """One season of a comparison, as its own report has it."""

    season: str
    difference: float
    low: float | None
    high: float | None
    trees_a: int
    trees_b: int
    rate_a: float | None
    rate_b: float | None
    grade: Grade
    named: bool


class PooledLine(Part):
    """All seasons of a comparison together; a tree of several years stands once. Trees of each side are counted once."""

    headline: str
    difference: float
    low: float | None
    high: float | None
    p: float | None
    holm_p: float | None
    lock_p: float | None
    trees_a: int
    trees_b: int
    strata: int
    grade: Grade
    missing: list[Missing]
    caps: list[str]


class YearsContrast(Part):
    """A comparison that several seasons made; `pooled` None where the years point different ways, or cannot be put together."""

    key: str
    kind: str
    method: str | None
    a: OwnNamed | None
    b: OwnNamed | None
    years: list[YearOfContrast]
    pooled: PooledLine | None
    warnings: list[Warned]


class TreeYear(Part):
    """One tree in one season: what it had, gave and took. None: not known, never none."""

    season: str
    mixes: list[str]
    crop: float | None
    weight_kg: float | None
    scored: float
    damaged: float
    rate: float | None
    low: float | None
    high: float | None
    sound: float | None
    minutes: float | None
    at_least: bool
    money: float | None
    sound_per_hour: float | None


class Opinion(StrEnum):
    """How a tree compares with the middle tree of its garden, in every one of its seasons: a quarter apart, or not."""

    MORE = "more_each_year"
    LESS = "less_each_year"
    MIXED = "near_the_middle_or_mixed"
    TOO_EARLY = "too_early"


class TreeYears(Part):
    """One tree over the seasons. The opinion is on sound fruit for an hour of work, of at least three seasons."""

    tree: str
    label: str
    garden: str
    cultivar: str | None
    years: list[TreeYear]
    sound: float | None
    minutes: float | None
    sound_per_hour: float | None
    opinion: Opinion
    seasons_judged: int


class TrapYears(Part):
    """One trap in two seasons, within the days that both were looked at; later season over earlier."""

    trap: str
    label: str
    garden: str
    first_season: str
    second_season: str
    first_catch: int
    first_days: int
    second_catch: int
    second_days: int
    ratio: float | None
    low: float
    high: float | None
    p: float
    warnings: list[Warned]


class TrapsTogether(Part):
    """All traps of a pair of seasons together; limits None for one trap."""

    first_season: str
    second_season: str
    traps: int
    ratio: float
    low: float | None
    high: float | None


class YearsReport(Part):
    """Several seasons of one half of the earth, oldest first."""

    seasons: list[str]
    hemisphere: Hemisphere
    methods: list[MethodNamed]
    contrasts: list[YearsContrast]
    trees: list[TreeYears]
    traps: list[TrapYears]
    traps_together: list[TrapsTogether]
    warnings: list[Warned]

"""The parts of a season report: plain values that the phone draws and the server renders. No words, no clock.

A report is a function of entries and season key and of nothing else. Rates are shares [0..1] to six decimals.
"""

from enum import StrEnum

from shared_models.season.choice import Counted, Damage
from shared_models.season.named_parts import MethodNamed as MethodNamed
from shared_models.season.named_parts import MixNamed as MixNamed
from shared_models.season.named_parts import Part
from shared_models.season.named_parts import Warned as Warned
from shared_models.season.verdict_parts import ContrastLine, CostLine, NarrowingLine
from shared_models.seasons import Hemisphere


class RateRange(Part):
    """A share of fruit with its 95 % range, and what it rests on: trees, fruit scored, and their independent worth."""

    rate: float
    low: float
    high: float
    trees: int
    scored: float
    damaged: float
    effective_fruit: float
    design_effect: float
    icc_used: float
    df: float


class TreeShare(Part):
    """One tree in a mix: fruit as counted, weighted rate, and the Wilson range of this tree alone."""

    tree: str
    scored: float
    damaged: float
    rate: float
    low: float
    high: float
    at_most: float | None
    all_fruit: float | None


class MixRate(Part):
    """One line of the season table. The headline is damage of all fruit where every tree has drops and removals."""

    mix: MixNamed
    headline: str
    picked: RateRange
    picked_deep: RateRange | None
    all_fruit: RateRange | None
    narrowing: NarrowingLine | None
    trees: list[TreeShare]
    warnings: list[Warned]


class FruitCounts(Part):
    """Fruit by what they were scored; `damaged` is codling-moth damage not told apart."""

    clean: float = 0
    sting: float = 0
    deep_entry: float = 0
    damaged: float = 0
    other_insect: float = 0
    other: float = 0
    not_sure: float = 0
    not_scored: float = 0


class TreePart(Part):
    """One row of a tree: part, source, mix (None: not recorded), days, counts, and how many there were in all."""

    place: str
    cover: str
    source: str
    mix: str | None
    days: list[str]
    fruit: FruitCounts
    total: float | None


class TreeLine(Part):
    """One tree of the season with everything it had. `status` is compared, not_scored, not_recorded or left_out."""

    tree: str
    label: str
    garden: str
    cultivar: str | None
    status: str
    bags_put_on: float
    parts: list[TreePart]


class LeftOutLine(Part):
    """A tree left out of comparison: why, when this was decided, and whether its scoring had begun."""

    tree: str
    reason: str
    decided: str
    after_scoring_began: bool


class UntreatedLine(Part):
    """A tree declared left untreated, when, and whether its scoring had begun."""

    tree: str
    declared: str
    after_scoring_began: bool


class TrapVisitLine(Part):
    """One visit: number as read, catch computed, days since the count before, moths a week; what it doubles.

    `state` is that of the visit, or no_count where the trap was reached and no number was said.
    """

    visit: str
    day: str | None
    state: str
    raw: int | None
    catch: int
    days: int | None
    per_week: float | None
    double_of: str | None


class TrapLine(Part):
    """One trap: catch and days of known exposure, moths a week with the range for this trap only, and its visits."""

    trap: str
    label: str
    garden: str
    caught_in_all: int
    catch: int
    trap_days: int
    per_week: float | None
    low: float | None
    high: float | None
    visits: list[TrapVisitLine]


class TrapWeek(Part):
    """One ISO 8601 week of a garden: moths and trap-days, spread evenly over the days between visits."""

    garden: str
    week: str
    catch: float
    trap_days: float
    per_trap_week: float


class LabelClashLine(Part):
    """One label on several trees of a garden."""

    garden: str
    label: str
    trees: list[str]


class MergedLine(Part):
    """Records said to be one tree, and their labels."""

    tree: str
    others: list[str]
    labels: list[str]


class UnplacedLine(Part):
    """A record of which no season is known yet."""

    rec: str
    kind: str
    when: str


class SpreadUsed(Part):
    """How alike the fruit of one tree were: the intracluster correlation found, and the one used with its convention."""

    icc_raw: float | None
    icc_shared: float
    df: float
    prior_icc: float
    prior_df: float


class AgreementLine(Part):
    """Two people who scored the same fruit: share scored alike, and Cohen's kappa (None where one mark was all)."""

    first: str
    second: str
    fruit: int
    equal: float
    low: float
    high: float
    kappa: float | None
    kappa_low: float | None
    kappa_high: float | None


class CutLine(Part):
    """Fruit that looked clean and was cut: in how many an entry was found, as a share of those cut with its range."""

    trees: int
    cut: int
    found: int
    share: float
    low: float
    high: float


class ScoringChecks(Part):
    """How far the scoring can be trusted; nothing of it is in any rate."""

    agreement: list[AgreementLine]
    cut: CutLine | None


class UsualFrom(StrEnum):
    """Where the damage that is planned with comes from."""

    UNTREATED = "untreated"
    ALL_TREES = "all_trees"
    ASSUMED = "assumed"
    TYPED = "typed"


class NextSeasonLine(Part):
    """Trees a side, and the damage that they tell from the usual; None: not even no damage at all."""

    trees: int
    told_from: float | None


class NextSeason(Part):
    """What numbers of trees would show next season, found in 8 of 10 seasons, and what that rests on."""

    usual: float
    usual_from: UsualFrom
    icc: float
    fruit_per_tree: int
    comparisons: int
    lines: list[NextSeasonLine]


class ChoiceMade(Part):
    """What of the season is looked at; None: all of it."""

    garden: str | None
    cultivar: str | None
    damage: Damage
    fruit: Counted


class SeasonReport(Part):
    """One season of one hemisphere."""

    season: str
    hemisphere: Hemisphere
    level: float
    choice: ChoiceMade
    methods: list[MethodNamed]
    mixes: list[MixRate]
    spread: SpreadUsed | None
    contrasts: list[ContrastLine]
    costs: list[CostLine]
    trees: list[TreeLine]
    not_recorded: list[str]
    untreated: list[UntreatedLine]
    left_out: list[LeftOutLine]
    traps: list[TrapLine]
    trap_weeks: list[TrapWeek]
    scored: FruitCounts
    scoring: ScoringChecks
    next_season: NextSeason
    bags_put_on: float
    label_clashes: list[LabelClashLine]
    merged: list[MergedLine]
    unplaced: list[UnplacedLine]
    warnings: list[Warned]

    def tree(self, tree: str) -> TreeLine:
        """The line of a tree by its id; KeyError where the report has none."""
        return next(line for line in self.trees if line.tree == tree)

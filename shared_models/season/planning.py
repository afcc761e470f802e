"""What so many trees a method could show next season, from the damage and likeness of this one. Knows no comparison."""

from collections.abc import Sequence

from shared_models.calculations.sample_size import LEAST_ICC, detectable
from shared_models.calculations.spread import PRIOR_ICC
from shared_models.season.report_parts import MixRate, NextSeason, NextSeasonLine, SpreadUsed, UsualFrom
from shared_models.season.rounding import edge, edge_if_known

TREES = (5, 6, 8, 10, 12, 16, 20, 30)  # on each side
FRUIT_PER_TREE = 30  # what a keeper is asked to score; more on one tree tells little more
ASSUMED_DAMAGE = (
    0.30  # where nothing was scored; of untreated trees it can be anything (a convention of this project)
)


def next_season(mixes: Sequence[MixRate], spread: SpreadUsed | None, comparisons: int) -> NextSeason:
    """For each number of trees the damage that would be told from the usual one in 8 of 10 seasons."""
    usual, where = _usual(mixes)
    icc = max(LEAST_ICC, spread.icc_shared if spread else PRIOR_ICC)
    return planned(usual, where, icc, FRUIT_PER_TREE, max(1, comparisons), TREES)


def planned(
    usual: float, where: UsualFrom, icc: float, fruit: int, comparisons: int, trees: Sequence[int]
) -> NextSeason:
    """The same for numbers of choice."""
    return NextSeason(
        usual=edge(usual),
        usual_from=where,
        icc=edge(icc),
        fruit_per_tree=fruit,
        comparisons=comparisons,
        lines=[
            NextSeasonLine(
                trees=many, told_from=edge_if_known(detectable(usual, many, fruit, icc, comparisons))
            )
            for many in trees
        ],
    )


def _usual(mixes: Sequence[MixRate]) -> tuple[float, UsualFrom]:
    """Damage without any method where that is known, else of all trees together, else assumed."""
    untreated = [line.picked for line in mixes if line.mix.untreated and line.picked.damaged]
    every = [line.picked for line in mixes]
    for rates, where in ((untreated, UsualFrom.UNTREATED), (every, UsualFrom.ALL_TREES)):
        fruit = sum(rate.effective_fruit for rate in rates)
        damaged = sum(rate.effective_fruit * rate.rate for rate in rates)
        if damaged:
            return min(1.0, damaged / fruit), where
    return ASSUMED_DAMAGE, UsualFrom.ASSUMED

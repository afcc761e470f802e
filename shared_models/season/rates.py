"""The lines of the season table: one rate a method mix, with its range, trees and warnings."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shared_models.calculations.proportions import upper_bound_when_none, wilson
from shared_models.calculations.sample_size import narrowed
from shared_models.calculations.spread import PRIOR_DF, PRIOR_ICC, MethodRate, method_rates, shared_spread
from shared_models.calculations.weighted_samples import WeightedRate
from shared_models.season.mixes import Mix
from shared_models.season.orchard import in_order_of_labels
from shared_models.season.report_parts import MixNamed, MixRate, RateRange, SpreadUsed, TreeShare, Warned
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import TreeInMix
from shared_models.season.verdict_parts import NarrowingLine

FEW_TREES, FEW_FRUIT, ENOUGH_SPREAD_DF = 4, 20, 5
MORE_FRUIT, MORE_TREES = 20, 2  # what a person could still do after a visit
Cells = dict[str, list[tuple[float, float]]]


@dataclass(frozen=True, slots=True)
class Names:
    """How warnings call trees, and methods that the group named itself; whether all fruit were asked for."""

    of_trees: Mapping[str, str]
    of_methods: Mapping[str, str]
    all_fruit_asked: bool = True


def mix_rates(shares: Sequence[TreeInMix], names: Names) -> list[MixRate]:
    """The season table, mixes in order of their keys; `names` are for warnings."""
    by_mix: dict[Mix, list[TreeInMix]] = {}
    for share in shares:
        by_mix.setdefault(share.mix, []).append(share)
    picked = _rated({mix: [(one, one.picked) for one in trees] for mix, trees in by_mix.items()})
    deep = _rated({mix: _deep(trees) for mix, trees in by_mix.items()})
    everything = _rated({mix: _all_fruit(trees) for mix, trees in by_mix.items()})
    lines = [
        _line(mix, trees, picked[mix], deep.get(mix), everything.get(mix), names)
        for mix, trees in by_mix.items()
    ]
    return sorted(lines, key=lambda line: line.mix.key)


def spread_used(shares: Iterable[TreeInMix]) -> SpreadUsed | None:
    """The intracluster correlation that the ranges of picked fruit rest on; None where nothing was scored."""
    cells: Cells = {}
    for share in shares:
        cells.setdefault(share.mix.key, []).append(
            (share.picked.effective_damaged, share.picked.effective_scored)
        )
    if not cells:
        return None
    found = shared_spread(cells)
    return SpreadUsed(
        icc_raw=edge_if_known(found.icc_raw),
        icc_shared=edge(found.icc_shared),
        df=edge(found.df),
        prior_icc=PRIOR_ICC,
        prior_df=PRIOR_DF,
    )


def _deep(trees: list[TreeInMix]) -> list[tuple[TreeInMix, WeightedRate]]:
    told = [(one, one.picked_deep) for one in trees if one.picked_deep is not None]
    return told if len(told) == len(trees) else []


def _all_fruit(trees: list[TreeInMix]) -> list[tuple[TreeInMix, WeightedRate]]:
    """The trees of a mix with all fruit known; shown only if every tree is one, since it never compares with others."""
    known = [(one, one.all_fruit) for one in trees if one.all_fruit is not None]
    return known if len(known) == len(trees) else []


def _rated(by_mix: dict[Mix, list[tuple[TreeInMix, WeightedRate]]]) -> dict[Mix, RateRange]:
    filled = {mix: trees for mix, trees in by_mix.items() if trees}
    rates = method_rates({mix: [rate.among_others for _, rate in trees] for mix, trees in filled.items()})
    return {mix: _range(rates[mix], trees) for mix, trees in filled.items()}


def _range(rate: MethodRate, trees: list[tuple[TreeInMix, WeightedRate]]) -> RateRange:
    counted = [
        (one.all_scored, one.all_damaged) if of is one.all_fruit else (one.scored, one.damaged)
        for one, of in trees
    ]
    return RateRange(
        rate=edge(rate.rate),
        low=edge(rate.low),
        high=edge(rate.high),
        trees=rate.trees,
        scored=edge(sum(scored for scored, _ in counted)),
        damaged=edge(sum(damaged for _, damaged in counted)),
        effective_fruit=edge(rate.effective_fruit),
        design_effect=edge(rate.design_effect),
        icc_used=edge(rate.icc_used),
        df=edge(rate.df),
    )


def _line(
    mix: Mix,
    trees: list[TreeInMix],
    picked: RateRange,
    deep: RateRange | None,
    everything: RateRange | None,
    names: Names,
) -> MixRate:
    return MixRate(
        mix=named(mix),
        headline="all_fruit" if everything else "picked",
        picked=picked,
        picked_deep=deep,
        all_fruit=everything,
        narrowing=_narrowing(picked, [(one.picked.effective_scored, one.picked.weight) for one in trees]),
        trees=sorted((_share(one) for one in trees), key=lambda share: share.tree),
        warnings=_warnings(mix, trees, picked, everything, names),
    )


def _narrowing(rate: RateRange, scored: list[tuple[float, float]]) -> NarrowingLine:
    """How much the range of picked fruit would narrow with more fruit on the same trees, and with more trees."""
    fruit = narrowed(rate.rate, scored, rate.icc_used, rate.df, more_fruit=MORE_FRUIT)
    trees = narrowed(rate.rate, scored, rate.icc_used, rate.df, more_trees=MORE_TREES)
    return NarrowingLine(
        now=edge(fruit.now),
        more_fruit=MORE_FRUIT,
        with_more_fruit=edge(fruit.then),
        more_trees=MORE_TREES,
        with_more_trees=edge(trees.then),
    )


def named(mix: Mix) -> MixNamed:
    """The mix as the report shows it."""
    return MixNamed(
        key=mix.key,
        methods=list(mix.methods),
        partly=list(mix.partly),
        untreated=mix.untreated,
        beside_bags=mix.beside_bags,
    )


def _share(one: TreeInMix) -> TreeShare:
    n, x = one.picked.effective_scored, one.picked.effective_damaged
    alone = wilson(x, n)
    return TreeShare(
        tree=one.tree,
        scored=edge(one.scored),
        damaged=edge(one.damaged),
        rate=edge(one.picked.rate),
        low=edge(alone.low),
        high=edge(alone.high),
        at_most=edge(upper_bound_when_none(n)) if x == 0 else None,
        all_fruit=edge(one.all_fruit.rate) if one.all_fruit else None,
    )


def _warnings(
    mix: Mix,
    trees: list[TreeInMix],
    picked: RateRange,
    everything: RateRange | None,
    names: Names,
) -> list[Warned]:
    def about(which: Iterable[TreeInMix]) -> list[str]:
        return in_order_of_labels(names.of_trees.get(one.tree, one.tree) for one in which)

    found = []
    if picked.trees == 1:
        found.append(Warned(code="ONE_TREE"))
    elif picked.trees < FEW_TREES:
        found.append(Warned(code="FEW_TREES", count=picked.trees))
    little = [one for one in trees if one.scored < FEW_FRUIT]
    if little:
        found.append(Warned(code="FEW_FRUIT", about=about(little), count=len(little)))
    unknown = [one for one in trees if one.picked.total_unknown]
    if unknown:
        found.append(Warned(code="TOTAL_UNKNOWN", about=about(unknown), count=len(unknown)))
    by_crop = [one for one in trees if _weighed_by_crop(one, everything is not None)]
    if 0 < len(by_crop) < len(trees):
        found.append(Warned(code="WEIGHED_BY_CROP", about=about(by_crop), count=len(by_crop)))
    unknown_drops = about(one for one in trees if one.all_fruit is None)
    if everything is None and names.all_fruit_asked:
        found.append(Warned(code="DROPS_UNKNOWN", about=unknown_drops))
    if (everything or picked).damaged == 0:
        found.append(Warned(code="ZERO_DAMAGE"))
    if mix.partly:
        found.append(
            Warned(code="PARTLY_TREATED", about=[names.of_methods.get(key, key) for key in mix.partly])
        )
    return found


def _weighed_by_crop(one: TreeInMix, of_all_fruit: bool) -> bool:
    """Whether a tree counts in the rate that leads as what it bore, not as what was scored."""
    if of_all_fruit and one.all_fruit:
        return one.all_fruit.weight != one.all_scored
    return one.picked.weight != one.scored

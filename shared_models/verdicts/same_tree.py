"""Bagged beside bare fruit of the same trees, drawn up: each tree is its own comparison. Judges nothing."""

from dataclasses import dataclass
from typing import NamedTuple

from shared_models.calculations.paired import paired_difference
from shared_models.calculations.spread import PRIOR_ICC
from shared_models.calculations.verdict import FIRM_PAIRS
from shared_models.season.named_parts import Warned
from shared_models.season.rates import FEW_FRUIT
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import TreeInMix
from shared_models.season.verdict_parts import SideLine, StratumLine
from shared_models.verdicts.compared import ALL_FRUIT, PICKED, Compared
from shared_models.verdicts.doubts import Seen
from shared_models.verdicts.judged import Numbers
from shared_models.verdicts.line import Drawn
from shared_models.vocabulary import BAGGING


@dataclass(frozen=True, slots=True)
class _Pair:
    """Bagged and bare fruit of one tree."""

    bagged: TreeInMix
    bare: TreeInMix

    @property
    def all_known(self) -> bool:
        return self.bagged.all_fruit is not None and self.bare.all_fruit is not None


class _Counts(NamedTuple):
    x1: float
    n1: float
    x2: float
    n2: float


def headline_on_the_same_tree(compared: Compared) -> str:
    """Damage of all fruit leads where it is known of both kinds on every tree."""
    pairs = _pairs(compared)
    return ALL_FRUIT if pairs and all(pair.all_known for pair in pairs) else PICKED


def counts_on_the_same_tree(
    compared: Compared, headline: str
) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Each tree with (damaged, scored) of its bagged and of its bare fruit."""
    return [(pair.bagged.tree, _counts(pair, headline)) for pair in _pairs(compared)]


def on_the_same_tree(compared: Compared, seen: Seen) -> Drawn:
    """All trees that have bagged and bare fruit scored."""
    pairs, headline = _pairs(compared), headline_on_the_same_tree(compared)
    counts = [_counts(pair, headline) for pair in pairs]
    found = paired_difference(counts, at_least_chance=True) if counts else None
    return Drawn(
        numbers=Numbers.of(
            found, (len(pairs), len(pairs)), lambda: found.lock_p if found else None, paired=True
        ),
        headline=headline,
        side_a=_side([pair.bagged for pair in pairs], headline, [(one.x1, one.n1) for one in counts], counts),
        side_b=_side([pair.bare for pair in pairs], headline, [(one.x2, one.n2) for one in counts], counts),
        icc=PRIOR_ICC,
        doubts=_doubts(pairs, headline, seen),
        strata=[_stratum(pair, one) for pair, one in zip(pairs, counts, strict=True)],
    )


def _pairs(compared: Compared) -> list[_Pair]:
    bare = {share.tree: share for share in compared.shares if share.mix.beside_bags}
    bagged = [share for share in compared.shares if not share.mix.beside_bags]
    return [
        _Pair(share, bare[share.tree])
        for share in sorted(bagged, key=lambda share: (share.tree, share.mix.key))
        if BAGGING in share.mix.methods and share.tree in bare
    ]


def _counts(pair: _Pair, headline: str) -> _Counts:
    rates = [one.picked if headline == PICKED else one.all_fruit for one in (pair.bagged, pair.bare)]
    first, second = (rate or pair.bagged.picked for rate in rates)
    return _Counts(
        first.effective_damaged, first.effective_scored, second.effective_damaged, second.effective_scored
    )


def _side(
    shares: list[TreeInMix], headline: str, own: list[tuple[float, float]], both: list[_Counts]
) -> SideLine:
    """Damage weighted by trees as the difference is, so that the two sides differ by exactly that."""
    weights = [one.n1 * one.n2 / (one.n1 + one.n2) for one in both]
    rate = sum(w * x / n for w, (x, n) in zip(weights, own, strict=True)) / sum(weights) if weights else None
    picked = headline == PICKED
    return SideLine(
        trees=len(shares),
        scored=edge(sum(one.scored if picked else one.all_scored for one in shares)),
        damaged=edge(sum(one.damaged if picked else one.all_damaged for one in shares)),
        rate=edge_if_known(rate),
    )


def _stratum(pair: _Pair, one: _Counts) -> StratumLine:
    tree = pair.bagged.tree
    a, b = (tree, edge(one.x1), edge(one.n1)), (tree, edge(one.x2), edge(one.n2))
    return StratumLine(alike=None, garden=None, cultivar=None, a=[a], b=[b])


def _doubts(pairs: list[_Pair], headline: str, seen: Seen) -> list[Warned]:
    few = [pair.bagged.tree for pair in pairs if min(pair.bagged.scored, pair.bare.scored) < FEW_FRUIT]
    asked = headline == PICKED and seen.all_fruit_asked
    unknown = [pair.bagged.tree for pair in pairs if not pair.all_known] if asked else []
    late = seen.scoring.bagged_late(pair.bagged.tree for pair in pairs)
    none = [
        not sum(share.damaged for share in side)
        for side in ([p.bagged for p in pairs], [p.bare for p in pairs])
    ]
    found = [
        Warned(code="NOTHING_ALIKE", count=int(not pairs)),
        Warned(code="ONE_TREE", count=int(len(pairs) == 1)),
        Warned(code="FEW_PAIRS", count=len(pairs) if 1 < len(pairs) < FIRM_PAIRS else 0),
        Warned(code="FEW_FRUIT", about=seen.called(few), count=len(few)),
        Warned(code="ZERO_DAMAGE", count=int(bool(pairs) and any(none))),
        Warned(code="BAG_SELECTION", count=1),
        Warned(code="BAGGED_LATE", about=seen.called(late), count=len(late)),
        Warned(code="DROPS_UNKNOWN", about=seen.called(unknown), count=len(unknown)),
    ]
    return [one for one in found if one.count]

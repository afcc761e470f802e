"""What has to be read with a contrast, and what forbids calling it firm. Knows sides and rows; no words.

A cap is a doubt that keeps a contrast from ever being more than leaning.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from shared_models.calculations.verdict import lopsided
from shared_models.season.named_parts import Warned
from shared_models.season.orchard import in_order_of_labels
from shared_models.season.rates import FEW_FRUIT, FEW_TREES
from shared_models.verdicts.compared import PICKED, ComparedTree, Own, is_bagged
from shared_models.verdicts.questions import Kind
from shared_models.verdicts.scoring import Scoring
from shared_models.verdicts.sides import Sides

DAYS_APART = 14  # picked so much later, more fruit is damaged whatever the method (common practice)
MUCH_OTHER = 0.10
TENDED_APART = 0.25  # how far the shares of trees whose fruit was taken off may lie apart
DROPS_APART = 2.0  # how many times as often drops may be counted on one side
MUCH_CORRECTED = 0.10  # share of a side's scores that somebody changed afterwards
MANY_NOT_SCORED = 0.5  # trees not scored for each that was: more of them, and it may be a choice
MOST_OF_ONE_TREE = 0.5
CAPS = frozenset(
    {
        "BAGGED_LATE",
        "CHOSEN_PART",
        "CULTIVAR_UNKNOWN",
        "DECLARED_LATE",
        "DROPS_UNLIKE",
        "FOUND_AFTERWARDS",
        "LEFT_OUT_LATE",
        "METHOD_CHANGED",
        "MIXED_PICK_DATES",
        "ONE_TREE_DOMINATES",
        "PICK_DAYS_UNKNOWN",
        "REACH_GARDEN",
        "REMOVED_ONE_SIDE",
        "SCORERS_APART",
        "SIZES_APART",
    }
)


@dataclass(frozen=True, slots=True)
class Seen:
    """What doubts are made from, beside the sides: how trees are called and were scored, which were declared too late,
    which had something else last season; of which trees, and of which methods, it was said after scoring what they had.
    """

    names: Mapping[str, str]
    scoring: Scoring
    declared_late: frozenset[str]
    carried_over: frozenset[str] = frozenset()
    all_fruit_asked: bool = True
    said_late: frozenset[str] = frozenset()
    methods_changed: frozenset[str] = frozenset()
    not_scored: Mapping[tuple[Own, str], list[str]] = field(default_factory=dict)

    def called(self, trees: Iterable[str]) -> list[str]:
        """Trees as people call them."""
        return in_order_of_labels(self.names.get(tree, tree) for tree in trees)


def doubts_of(sides: Sides, seen: Seen) -> list[Warned]:
    """Everything that is to be read with a contrast between trees, but what concerns its naming."""
    return [one for one in (*_few(sides), *_unlike(sides, seen), *_of_fruit(sides, seen)) if one.count]


def _few(sides: Sides) -> Iterator[Warned]:
    a, b = (len(sides.trees(side)) for side in "ab")
    yield Warned(code="NOTHING_ALIKE", count=int(not a or not b))
    yield Warned(code="ONE_TREE", count=int(min(a, b) == 1))
    yield Warned(code="FEW_TREES", count=min(a, b) if 1 < min(a, b) < FEW_TREES else 0)
    yield Warned(code="UNBALANCED", count=int(bool(a and b) and lopsided(a, b)))
    for what in sides.confounded_with():
        yield Warned(code=_CONFOUNDED[what], count=1)


_CONFOUNDED = {
    "cultivar": "CONFOUNDED_CULTIVAR",
    "garden": "CONFOUNDED_SITE",
    "methods": "CONFOUNDED_METHODS",
}


def _unlike(sides: Sides, seen: Seen) -> Iterator[Warned]:
    """What else may differ between the sides."""
    both = [*sides.trees("a"), *sides.trees("b")]
    unknown = [tree.tree for tree in both if not tree.cell.cultivar]
    yield _about("CULTIVAR_UNKNOWN", unknown, seen)
    late = [tree.tree for tree in both if tree.cell.own.untreated and tree.tree in seen.declared_late]
    yield _about("DECLARED_LATE", late, seen)
    yield _about("CARRY_OVER", (tree.tree for tree in both if tree.tree in seen.carried_over), seen)
    yield Warned(code="MIXED_PICK_DATES", count=_days_apart(sides, seen))
    yield Warned(code="PICK_DAYS_UNKNOWN", count=int(_pick_days_unknown(sides, seen)))
    yield Warned(code="SCORER", count=int(_one_scorer(sides, seen)))
    yield Warned(code="SCORERS_APART", count=int(_scorers_apart(sides, seen)))
    yield Warned(code="SIZES_APART", count=int(_sizes_apart(sides, seen)))
    bagged = [tree.tree for tree in both if is_bagged(tree.cell.own)]
    yield _about("BAGGED_LATE", seen.scoring.bagged_late(bagged), seen)
    yield _about("SAID_LATE", (tree.tree for tree in both if tree.tree in seen.said_late), seen)
    had = {name for tree in both for name in (*tree.cell.own.methods, *tree.cell.own.partly)}
    yield _about(
        "MANY_NOT_SCORED", [tree for side in "ab" for tree in _many_not_scored(sides, side, seen)], seen
    )
    yield Warned(code="METHOD_CHANGED", count=len(had & seen.methods_changed))
    yield Warned(code="NEIGHBOUR", count=int(any(one.both for one in sides.strata)))
    yield _about("ALONE_IN_STRATUM", sides.not_used if sides.used else [], seen)


def _of_fruit(sides: Sides, seen: Seen) -> Iterator[Warned]:
    """What the fruit that was scored leaves open."""
    a, b = sides.trees("a"), sides.trees("b")
    both = [*a, *b]
    yield _about("FEW_FRUIT", [tree.tree for tree in both if tree.share.scored < FEW_FRUIT], seen)
    yield _about("ONE_TREE_DOMINATES", [tree for side in (a, b) for tree in _dominating(side, sides)], seen)
    yield Warned(code="ZERO_DAMAGE", count=int(any(side and not _damaged(side, sides) for side in (a, b))))
    bagging = any(is_bagged(tree.cell.own) for tree in a) != any(is_bagged(tree.cell.own) for tree in b)
    yield Warned(code="BAG_SELECTION", count=int(bagging))
    other = max(seen.scoring.other_harm(a), seen.scoring.other_harm(b))
    yield Warned(code="OTHER_HIGH", count=round(100 * other) if other > MUCH_OTHER else 0)
    if sides.headline == PICKED:
        unknown = [tree.tree for tree in both if tree.share.all_fruit is None]
        yield _about("DROPS_UNKNOWN", unknown if seen.all_fruit_asked else [], seen)
        yield Warned(code="REMOVED_ONE_SIDE", count=int(_tended_apart(a, b, seen)))
    else:
        yield Warned(code="DROPS_UNLIKE", count=int(_drops_unlike(a, b, seen)))
    corrected = max(seen.scoring.corrected(a), seen.scoring.corrected(b))
    yield Warned(code="CORRECTED", count=round(100 * corrected) if corrected > MUCH_CORRECTED else 0)
    yield _about("TOTAL_UNKNOWN", [tree.tree for tree in both if tree.share.picked.total_unknown], seen)


def _days_apart(sides: Sides, seen: Seen) -> int:
    """Days between the picks of both sides, where they are far apart."""
    a, b = (seen.scoring.mean_day(sides.trees(side)) for side in "ab")
    apart = abs((a - b).days) if a and b else 0
    return apart if apart > DAYS_APART else 0


def _one_scorer(sides: Sides, seen: Seen) -> bool:
    """Whether one side was scored by one person only, and the other by others (too)."""
    a, b = (seen.scoring.scorers(sides.trees(side)) for side in "ab")
    return bool(a and b) and a != b and min(len(a), len(b)) == 1


def _tended_apart(a: list[ComparedTree], b: list[ComparedTree], seen: Seen) -> bool:
    if not a or not b:
        return False
    shares = [sum(tree.tree in seen.scoring.tended for tree in side) / len(side) for side in (a, b)]
    return abs(shares[0] - shares[1]) > TENDED_APART


def _many_not_scored(sides: Sides, side: str, seen: Seen) -> list[str]:
    """Trees that had the same but were not scored, where they are more than half as many as those that were."""
    trees = sides.trees(side)
    alike = {(tree.cell.own, tree.cell.garden) for tree in trees}
    left = [tree for one in sorted(alike) for tree in seen.not_scored.get(one, ())]
    return left if len(left) > MANY_NOT_SCORED * len(trees) else []


def _pick_days_unknown(sides: Sides, seen: Seen) -> bool:
    """Whether nobody knows of a side when it was picked: then it cannot be seen that it was not weeks later."""
    both = sides.trees("a"), sides.trees("b")
    return all(both) and any(seen.scoring.mean_day(side) is None for side in both)


def _scorers_apart(sides: Sides, seen: Seen) -> bool:
    """Whether nobody scored trees of both sides: then who is strict and what a method did are one."""
    a, b = (seen.scoring.scorers(sides.trees(side)) for side in "ab")
    return bool(a and b) and not a & b


def _sizes_apart(sides: Sides, seen: Seen) -> bool:
    """Whether trees of one side are all of other sizes than those of the other, as far as that was noted of all."""
    a, b = ({seen.scoring.size(tree) for tree in sides.trees(side)} for side in "ab")
    return bool(a and b) and None not in a | b and not a & b


def _drops_unlike(a: list[ComparedTree], b: list[ComparedTree], seen: Seen) -> bool:
    """Whether drops were counted on far more days on one side: what lies longer rots, is eaten, and is not counted."""
    if not a or not b:
        return False
    days = sorted(sum(seen.scoring.drops_days(tree) for tree in side) / len(side) for side in (a, b))
    return days[1] > DROPS_APART * days[0]


def _dominating(side: list[ComparedTree], sides: Sides) -> list[str]:
    """The tree that carries most of the fruit of a side of three trees or more (of two, one always does, or nearly)."""
    fruit = [tree.weighed(sides.headline)[1] for tree in side]
    if len(side) < 3:
        return []
    most = MOST_OF_ONE_TREE * sum(fruit)
    return [tree.tree for tree, n in zip(side, fruit, strict=True) if n > most]


def _damaged(side: list[ComparedTree], sides: Sides) -> float:
    return sum(tree.weighed(sides.headline)[0] for tree in side)


def _about(code: str, trees: Iterable[str], seen: Seen) -> Warned:
    named = seen.called(trees)
    return Warned(code=code, about=named, count=len(named))


@dataclass(frozen=True, slots=True)
class Family:
    """How many comparisons were named before scoring, how many of them were given up after it began; and whether only
    a part of the fruit or of the damage is looked at, which nobody named.
    """

    named: int
    given_up: int
    of_a_part: bool = False


def naming(kind: Kind, before_scoring: bool, family: Family) -> list[Warned]:
    """What to read of how a question came up: found afterwards, one of several, between gardens."""
    found = [
        Warned(code="FOUND_AFTERWARDS", count=int(not before_scoring)),
        Warned(code="MULTIPLE", count=family.named if before_scoring and family.named > 1 else 0),
        Warned(code="GIVEN_UP", count=family.given_up if before_scoring else 0),
        Warned(code="REACH_GARDEN", count=int(kind is Kind.GARDENS)),
        Warned(code="CHOSEN_PART", count=int(before_scoring and family.of_a_part)),
    ]
    return [one for one in found if one.count]

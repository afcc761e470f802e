"""How firmly a comparison may be worded: Holm's adjustment for several, and the grades. Knows evidence, no words.

"Firm only if everything holds; leaning if the trees point one way; otherwise it cannot be told yet."
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

ALPHA = 0.05
FIRM_TREES, FIRM_PAIRS, LEANING_TREES = 4, 6, 3
UNBALANCED = 2.0  # more than so many times as many trees on one side as on the other
# Share of fruit: both limits inside it read as "about the same"; a convention of this project.
SAME_WITHIN = 0.05


class Grade(StrEnum):
    """How firmly a difference may be worded."""

    FIRM = "firm"
    LEANING = "leaning"
    SAME = "about_the_same"
    CANT_TELL = "cant_tell"


class Missing(StrEnum):
    """A condition of *firm* that does not hold."""

    TREES = "trees"
    NOT_SEPARATED = "not_separated"
    P = "p"
    HOLM = "holm"
    LOCK = "lock"
    RANGE = "range"
    WELCH = "welch"
    NOT_NAMED = "not_named"
    CAPPED = "capped"


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a grade is given for.

    `holm` is the p adjusted within the family of comparisons named before scoring, None where it was not named;
    `lock` and `welch` are None where they could not be computed; `capped` says that something else forbids *firm*.
    """

    trees_a: int
    trees_b: int
    paired: bool
    separated: bool
    p: float | None
    holm: float | None
    lock: float | None
    welch: float | None
    low: float | None
    high: float | None
    capped: bool


@dataclass(frozen=True, slots=True)
class Graded:
    """The grade, and what kept it from being firm (empty where it is)."""

    grade: Grade
    missing: tuple[Missing, ...]


def holm(ps: Sequence[float]) -> list[float]:
    """Each p adjusted for all of them together, by Holm's step-down rule.

    Args:
        ps: the p values of the family [0..1], in any order.
    Returns:
        The adjusted p values in the order given [0..1]. Calling those at most 0.05 different makes a false call
        anywhere in the family in at most 5 of 100 seasons.
    Raises:
        ValueError: a p outside 0..1.
    Misleads:
        when the family was chosen after looking: comparisons that were tried and left out count too.

    >>> holm([0.01, 0.04, 0.03, 0.005, 0.2])
    [0.04, 0.09, 0.09, 0.025, 0.2]

    Source: Holm 1979, Scand J Stat 6:65-70; agrees with p.adjust of R.
    """
    for p in ps:
        if not 0 <= p <= 1:
            raise ValueError(f"A p value lies between 0 and 1, not at {p}.")
    adjusted, so_far = [0.0] * len(ps), 0.0
    for rank, place in enumerate(sorted(range(len(ps)), key=lambda one: ps[one])):
        so_far = max(so_far, min(1.0, (len(ps) - rank) * ps[place]))
        adjusted[place] = so_far
    return adjusted


def graded(found: Evidence) -> Graded:
    """The grade that the evidence bears.

    Args:
        found: what was found, see `Evidence`.
    Returns:
        *firm* if nothing is missing: 4 trees a side (6 pairs), separated from cultivar, garden and year, p at most
        0.05 after Holm, the permutation at most 0.05, limits that exclude 0, Welch's p at most 0.05 where one side
        has more than twice the trees, named before scoring, and nothing that caps it. *leaning* if p alone is at
        most 0.05 with 3 trees a side. *about the same* if both limits lie within 0.05 with as many trees as firm
        asks for. Otherwise *can't tell*. And every condition of *firm* that is missing.
    Raises:
        nothing.
    Misleads:
        when several comparisons are looked at and only the leaning ones are told.

    >>> graded(Evidence(5, 5, False, True, 0.01, 0.02, 0.008, None, -0.3, -0.1, capped=False)).grade.value
    'firm'
    >>> graded(Evidence(3, 5, False, True, 0.01, 0.02, 0.03, None, -0.3, -0.1, capped=False))
    Graded(grade=<Grade.LEANING: 'leaning'>, missing=(<Missing.TREES: 'trees'>,))

    Source: a convention of this project, tried by simulation: see the table of simulated seasons.
    """
    missing = tuple(_missing(found))
    if not missing:
        return Graded(Grade.FIRM, missing)
    few = min(found.trees_a, found.trees_b)
    if not found.separated or few < LEANING_TREES:
        return Graded(Grade.CANT_TELL, missing)
    if Missing.P not in missing:
        return Graded(Grade.LEANING, missing)
    enough = Missing.TREES not in missing
    return Graded(Grade.SAME if enough and _all_small(found) else Grade.CANT_TELL, missing)


def _missing(found: Evidence) -> list[Missing]:
    needed = FIRM_PAIRS if found.paired else FIRM_TREES
    fails = {
        Missing.TREES: min(found.trees_a, found.trees_b) < needed,
        Missing.NOT_SEPARATED: not found.separated,
        Missing.P: not _small(found.p),
        Missing.HOLM: found.holm is not None and not _small(found.holm),
        Missing.LOCK: not _small(found.lock),
        Missing.RANGE: not _excludes_nothing(found),
        Missing.WELCH: lopsided(found.trees_a, found.trees_b) and not _small(found.welch),
        Missing.NOT_NAMED: found.holm is None,
        Missing.CAPPED: found.capped,
    }
    return [condition for condition, fails_it in fails.items() if fails_it]


def _small(p: float | None) -> bool:
    return p is not None and p <= ALPHA


def _excludes_nothing(found: Evidence) -> bool:
    return found.low is not None and found.high is not None and (found.low > 0 or found.high < 0)


def _all_small(found: Evidence) -> bool:
    return (
        found.low is not None
        and found.high is not None
        and -SAME_WITHIN < found.low <= found.high < SAME_WITHIN
    )


def lopsided(trees_a: int, trees_b: int) -> bool:
    """Whether one side has more than twice the trees of the other, so that unequal spreads can mislead.

    >>> lopsided(4, 8), lopsided(9, 4)
    (False, True)
    """
    return max(trees_a, trees_b) > UNBALANCED * min(trees_a, trees_b)

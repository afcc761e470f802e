"""The cells that are simulated, and what is counted in each: coverage, false verdicts, power. Prints nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from shared_models.calculations.verdict import Grade
from shared_models.reports import season_report
from shared_models.season_records import from_entries
from tests.simulations.drawn_seasons import METHOD, Truth, drawn

FOUR_CULTIVARS = (0.4, 0.8, 1.2, 1.6)
EQUAL = [
    Truth("3 trees a side", 3, 3),
    Truth("5 trees a side", 5, 5),
    Truth("8 trees a side", 8, 8),
    Truth("5 trees a side, alike fruit (ICC 0.25)", 5, 5, icc_a=0.25, icc_b=0.25),
    Truth("8 trees a side, independent fruit (ICC 0.01)", 8, 8, icc_a=0.01, icc_b=0.01),
    Truth("5 trees a side, little damage (2 %)", 5, 5, 0.02, 0.02),
    Truth("5 trees a side, no damage at all", 5, 5, 0.0, 0.0),
    Truth("6 trees a side, few fruit (5 to 10)", 6, 6, 0.2, 0.2, fruit=(5, 10)),
    Truth("4 against 12 trees, the few more unlike (ICC 0.20 and 0.03)", 4, 12, 0.12, 0.12, 0.20, 0.03),
    Truth("6 trees a side, one with twelve times the fruit", 6, 6, dominating=12),
    Truth("12 trees a side on four cultivars, methods on other ones in 7 of 10", 12, 12,
          cultivars=FOUR_CULTIVARS, confounded=0.7),
    Truth("12 trees a side, so confounded, cultivar not noted", 12, 12,
          cultivars=FOUR_CULTIVARS, confounded=0.7, cultivar_noted=False),
    Truth("6 trees a side, each method on a cultivar of its own", 6, 6,
          cultivars=(0.5, 1.5), confounded=1.0),
    Truth("8 trees a side, half of the damaged fruit taken off on one side", 8, 8, 0.25, 0.25,
          picked_up_on_a=0.5),
    Truth("8 trees a side, so taken off and nobody noted it", 8, 8, 0.25, 0.25,
          picked_up_on_a=0.5, said_so=False),
    Truth("5 trees a side, one declared untreated late", 5, 5, declared_late=True),
    Truth("5 trees a side, scored on some days of picking, drops counted", 5, 5, several_days=True),
    Truth("10 trees a side, much damage (30 %)", 10, 10, 0.30, 0.30),
    Truth("10 trees a side, so scored, much damage (30 %)", 10, 10, 0.30, 0.30, several_days=True),
]  # fmt: skip
DIFFERENT = [
    Truth("5 trees a side, 8 against 25 %", 5, 5, 0.08, 0.25),
    Truth("8 trees a side, 8 against 25 %", 8, 8, 0.08, 0.25),
    Truth("12 trees a side, 8 against 25 %", 12, 12, 0.08, 0.25),
    Truth("20 trees a side, 8 against 25 %", 20, 20, 0.08, 0.25),
    Truth("8 trees a side, 8 against 25 %, ICC 0.05", 8, 8, 0.08, 0.25, 0.05, 0.05),
    Truth(
        "8 trees a side, scored on some days of picking, drops counted, 8 against 25 %",
        8,
        8,
        0.08,
        0.25,
        several_days=True,
    ),
    Truth("12 trees a side on four cultivars, 8 against 25 %", 12, 12, 0.08, 0.25, cultivars=FOUR_CULTIVARS),
]


@dataclass(frozen=True, slots=True)
class Found:
    """Shares of the seasons of one cell [0..1]. `rates` and `differences` are the ranges that held the truth."""

    seasons: int
    rates: float
    differences: float | None
    small_p: float
    leaning: float
    firm: float
    wrong_way: float


def simulate(truth: Truth, seasons: int, seed: int = 1) -> Found:
    """The shares over so many seasons; the same seed gives the same ones."""
    chance = Random(f"{seed} {truth.name}")
    held, ranges, told, estimable, small, grades, wrong = 0, 0, 0, 0, 0, [], 0
    for _ in range(seasons):
        report = season_report(from_entries(drawn(truth, chance), "2026"))
        [line] = [one for one in report.contrasts if one.method == METHOD]
        for mix in report.mixes:
            if len(truth.cultivars) == 1 and not truth.picked_up_on_a:
                true = truth.rate_b if mix.mix.untreated else truth.rate_a
                ranges += 1
                leading = mix.all_fruit or mix.picked
                held += leading.low <= true <= leading.high
        if line.low is not None and line.high is not None and line.difference is not None:
            estimable += 1
            told += _holds(truth, line.low, line.high)
            wrong += line.grade in (Grade.FIRM, Grade.LEANING) and _wrong_way(truth, line.difference)
        small += line.p is not None and line.p <= 0.05
        grades.append(line.grade)
    return Found(
        seasons,
        held / ranges if ranges else float("nan"),
        told / estimable if estimable else None,
        small / seasons,
        _share(grades, Grade.LEANING),
        _share(grades, Grade.FIRM),
        wrong / seasons,
    )


def _holds(truth: Truth, low: float, high: float) -> bool:
    return low - 1e-6 <= _true_difference(truth) <= high + 1e-6


def _true_difference(truth: Truth) -> float:
    return (truth.rate_a - truth.rate_b) * sum(truth.cultivars) / len(truth.cultivars)


def _wrong_way(truth: Truth, difference: float) -> bool:
    return not truth.equal and difference * _true_difference(truth) < 0


def _share(grades: Sequence[Grade], grade: Grade) -> float:
    return grades.count(grade) / len(grades)

"""Simulates all cells and writes the page TABLE.md beside this file.

python -m tests.simulations [SEASONS]      1000 a cell unless said; two cores, some minutes
"""

import math
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from tests.simulations.cells import DIFFERENT, EQUAL, Found, simulate
from tests.simulations.drawn_seasons import Truth

PAGE = Path(__file__).with_name("TABLE.md")
HEAD = """# Simulated seasons

Written by `python -m tests.simulations {seasons}`: {seasons} seasons a cell, seed 1, each from entries through fold,
rows and report to the verdict. Trees draw their own rate (beta distribution, ICC 0.10 unless said), 20 to 60 fruit are
scored on each. One comparison, named before scoring. A share of {seasons} seasons is good to about ±{error:.1f} points at 5 %.

*Rates held*: 95 % ranges of a method's rate that hold the truth. *Differences held*: those of the difference, where it
could be told. *p ≤ 0.05*, *leaning*, *firm*: shares of the seasons, in per cent.
"""
COLUMNS = "| Seasons | Rates held | Differences held | p ≤ 0.05 | leaning | firm |\n|---|---|---|---|---|---|"


def main() -> None:
    """Simulate and write."""
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    with ProcessPoolExecutor(2) as pool:
        equal = list(pool.map(partial(simulate, seasons=seasons), EQUAL))
        different = list(pool.map(partial(simulate, seasons=seasons), DIFFERENT))
    parts = [
        HEAD.format(seasons=seasons, error=196 * math.sqrt(0.05 * 0.95 / seasons)),
        "## No true difference: every *firm* is false\n", _table(EQUAL, equal),
        "## A true difference: *firm* is the power\n", _table(DIFFERENT, different),
        _limits(equal), "",
    ]  # fmt: skip
    PAGE.write_text("\n".join(parts), encoding="utf-8")


def _table(truths: list[Truth], found: list[Found]) -> str:
    lines = [_row(truth, one) for truth, one in zip(truths, found, strict=True)]
    return "\n".join([COLUMNS, *lines, ""])


def _row(truth: Truth, one: Found) -> str:
    shares = (one.rates, one.differences, one.small_p, one.leaning, one.firm)
    told = ["–" if share is None or math.isnan(share) else f"{100 * share:.1f}" for share in shares]
    return f"| {' | '.join([truth.name, *told])} |"


def _limits(found: list[Found]) -> str:
    """The cells that miss the aims, in words."""
    missed = [
        f"- {truth.name}: firm in {100 * one.firm:.1f} % of seasons without any difference (aim 2.5 %)."
        for truth, one in zip(EQUAL, found, strict=True)
        if one.firm > 0.025
    ]
    missed += [
        f"- {truth.name}: p ≤ 0.05 in {100 * one.small_p:.1f} % (aim 6 %); it is never more than leaning there."
        if not one.firm
        else f"- {truth.name}: p ≤ 0.05 in {100 * one.small_p:.1f} % (aim 6 %)."
        for truth, one in zip(EQUAL, found, strict=True)
        if one.small_p > 0.06
    ]
    return "\n".join(["## Limits: cells that miss an aim\n", *(missed or ["None."])])


if __name__ == "__main__":
    main()

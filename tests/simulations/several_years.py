"""Seasons of the same trees over several years, without any difference: how often they are together called different.

Each tree keeps its own rate through the years, and years differ from each other, as trees and years do. All is invented.
`python -m tests.simulations.several_years 200` writes the page YEARS.md beside this file.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from shared_models.calculations.verdict import Grade
from shared_models.entries import Entry
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years_report import years_report
from tests.builders import FieldPhone
from tests.simulations.drawn_seasons import METHOD

YEARS = {"2024": 0.5, "2025": 1.5, "2026": 1.0}  # season and how many times the usual damage it has
ICC = 0.10
PAGE = Path(__file__).with_name("YEARS.md")
HEAD = """# Simulated years

Written by `python -m tests.simulations.several_years {runs}`: {runs} runs a cell, seed 1, of three seasons each, from entries
to the report over years. Trees keep their own rate (beta distribution, ICC 0.10); years have half, one and a half times
and once the usual damage. One comparison, named before scoring in every season. Trees have the same damage on both sides
unless said, so that *firm* is false there.

*Differences held*: 95 % ranges of the pooled difference that hold the truth, of the runs in which the years point one
way; the others are not put together.
"""
COLUMNS = "| Seasons | Differences held | p ≤ 0.05 | firm |\n|---|---|---|---|"


@dataclass(frozen=True, slots=True)
class Trees:
    """So many trees a side in every one of the years, or others in each of them."""

    name: str
    a_side: int
    others_each_year: bool = False
    rate_a: float = 0.15
    rate_b: float = 0.15


CELLS = (
    Trees("5 trees a side, the same for three years", 5),
    Trees("8 trees a side, the same for three years", 8),
    Trees("3 trees a side, other ones each year", 3, others_each_year=True),
    Trees("8 trees a side, the same for three years, 8 against 25 %", 8, rate_a=0.08, rate_b=0.25),
)


@dataclass(frozen=True, slots=True)
class FoundOverYears:
    """Shares of the runs [0..1]: ranges that held the truth, p at most 0.05, firm."""

    held: float
    small_p: float
    firm: float


def simulate_years(truth: Trees, runs: int, seed: int = 1) -> FoundOverYears:
    """The shares over so many runs of three years; the same seed gives the same ones."""
    chance = Random(f"{seed} {truth.name}")
    held = small = firm = told = 0
    for _ in range(runs):
        entries = list(_drawn(truth, chance))
        report = years_report([from_entries(entries, year) for year in YEARS], Hemisphere.NORTH)
        [line] = [one for one in report.contrasts if one.method == METHOD]
        if line.pooled is None or line.pooled.low is None or line.pooled.high is None:
            continue  # the years point different ways: nothing is said of them together
        told += 1
        held += line.pooled.low <= truth.rate_a - truth.rate_b <= line.pooled.high
        small += line.pooled.p is not None and line.pooled.p <= 0.05
        firm += line.pooled.grade is Grade.FIRM
    return FoundOverYears(held / told if told else 1.0, small / runs, firm / runs)


def _drawn(truth: Trees, chance: Random) -> Iterator[Entry]:
    phone = FieldPhone()
    garden = phone.garden("Hill (invented)")
    yield garden
    planted: dict[str, list[tuple[Entry, str, float]]] = {}
    for year in YEARS:
        here = "all" if not truth.others_each_year else year
        if here not in planted:
            planted[here] = list(_planted(truth, chance, phone, garden, here))
            for tree, _, _ in planted[here]:
                yield tree
                yield phone.graft(tree, "Dawnlet")
        yield from _year(phone, chance, year, planted[here])


def _planted(
    truth: Trees, chance: Random, phone: FieldPhone, garden: Entry, here: str
) -> Iterator[tuple[Entry, str, float]]:
    for side, rate in (("a", truth.rate_a), ("b", truth.rate_b)):
        for number in range(truth.a_side):
            size = 1 / ICC - 1
            own = chance.betavariate(rate * size, (1 - rate) * size)
            yield phone.tree(garden, f"{here} {side}{number}"), side, own


def _year(
    phone: FieldPhone, chance: Random, year: str, trees: list[tuple[Entry, str, float]]
) -> Iterator[Entry]:
    said = {"season": year, "with_method": METHOD, "when": f"{year}-08-01"}
    named = phone.makes("planned_contrast", said)
    yield named.model_copy(update={"entered": f"{year}-08-01T09:00:00+02:00"})
    for tree, side, own in trees:
        if side == "a":
            yield phone.job(METHOD, tree, when=f"{year}-06-01")
        else:
            yield phone.untreated(tree, year, when=f"{year}-05-01")
        pick = phone.pick(tree, when=f"{year}-09-10", all_scored="yes")
        visit = phone.visit(tree, when=f"{year}-09-10", pick=pick.rec)
        yield from (pick, visit)
        scored = chance.randint(20, 60)
        damaged = sum(chance.random() < min(1.0, own * YEARS[year]) for _ in range(scored))
        for n, mark in ((damaged, "deep_entry"), (scored - damaged, "clean")):
            if n:
                yield phone.number(visit, n, mark)


def main(runs: int) -> None:
    """Simulate and write."""
    rows = [_row(truth, simulate_years(truth, runs)) for truth in CELLS]
    PAGE.write_text("\n".join([HEAD.format(runs=runs), COLUMNS, *rows, ""]), encoding="utf-8")


def _row(truth: Trees, found: FoundOverYears) -> str:
    shares = (found.held, found.small_p, found.firm)
    return f"| {' | '.join([truth.name, *(f'{100 * share:.1f}' for share in shares)])} |"


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)

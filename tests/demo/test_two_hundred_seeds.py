"""Two hundred invented groups in a row: the ranges hold what is true, and every total is the generator's own.

The doings are written down by `plain_recorder`, which says why; `test_story` shows that phones come to the same.
Seeds are 1 to 200, taken as they come.
"""

from __future__ import annotations

import pytest

from demo.comparison import Beside, beside_the_truth, totals
from demo.place import GARDENS
from demo.season import InventedSeasons, invent
from shared_models.reports import season_report
from shared_models.season.report_parts import SeasonReport
from shared_models.season_records import from_entries
from tests.demo.plain_recorder import entries_of

# One worker makes the two hundred for both tests (pytest-xdist, with --dist loadgroup).
pytestmark = [pytest.mark.timeout(600), pytest.mark.xdist_group("two hundred seeds")]
SEEDS = range(1, 201)
SEASONS = sorted({garden.season for garden in GARDENS.values()})


@pytest.fixture(scope="module")
def two_hundred() -> list[tuple[InventedSeasons, SeasonReport]]:
    """Every seed with its reports, one a season key."""
    return [(seasons, report) for seed in SEEDS for seasons, report in _reports(seed)]


def _reports(seed: int) -> list[tuple[InventedSeasons, SeasonReport]]:
    seasons = invent(seed)
    entries = entries_of(seasons)
    return [(seasons, season_report(from_entries(entries, key))) for key in SEASONS]


def share_held(lines: list[Beside]) -> float:
    """The share of ranges that hold the true rate."""
    return sum(line.held for line in lines) / len(lines)


def test_ranges_of_ninety_five_in_a_hundred_hold_the_true_rate_at_least_ninety_three_times(two_hundred):
    lines = [
        line
        for seasons, report in two_hundred
        for line in beside_the_truth(seasons, report)
        if line.found.trees >= 2
    ]
    picked = [line for line in lines if not line.of_all_fruit]
    of_all = [line for line in lines if line.of_all_fruit]
    print(f"\nof picked fruit: {100 * share_held(picked):.2f} % of {len(picked)} ranges hold the true rate")
    print(f"of all fruit:    {100 * share_held(of_all):.2f} % of {len(of_all)} ranges hold the true rate")
    for name in sorted({(line.mix.mix.key, line.of_all_fruit) for line in lines}):
        of_mix = [line for line in lines if (line.mix.mix.key, line.of_all_fruit) == name]
        mean = sum(line.found.rate for line in of_mix) / len(of_mix)
        true = sum(line.true_rate for line in of_mix) / len(of_mix)
        print(f"  {name[0]:32} {'all' if name[1] else 'picked':7} {share_held(of_mix):.3f} "
              f"true {true:.4f} mean found {mean:.4f}")  # fmt: skip
    assert len(picked) == 200 * 13
    assert len(of_all) == 200 * 9
    assert share_held(picked) >= 0.93
    assert share_held(of_all) >= 0.93


def test_every_total_of_every_report_is_the_generators_own_count(two_hundred):
    differing = [
        (seasons.seed, report.season, total)
        for seasons, report in two_hundred
        for total in totals(seasons, report)
        if not total.agrees
    ]
    assert differing == []

"""A short look at years without a difference; the long one is `python -m tests.simulations.several_years`.

Bounds leave room for chance: of 40 runs an aim of 2.5 % false firm is exceeded by more than 4 in 3 of 1000 (binomial).
"""

import pytest

from tests.simulations.several_years import CELLS, simulate_years

RUNS = 40


@pytest.mark.parametrize(
    "truth", [one for one in CELLS if one.rate_a == one.rate_b], ids=lambda one: one.name
)
def test_the_same_trees_for_years_are_hardly_ever_called_firm_without_a_difference(truth):
    found = simulate_years(truth, RUNS, seed=7)
    assert found.firm <= 4 / RUNS and found.held >= 0.85


def test_a_difference_that_is_there_every_year_is_found():
    assert simulate_years(CELLS[-1], RUNS, seed=7).firm > 0.4

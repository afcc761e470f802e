"""A short look at the simulated seasons; the long one is `python -m tests.simulations`.

Bounds leave room for chance at so few seasons: an aim of 2.5 % false firm in 150 seasons is exceeded by more than 7
seasons in 3 of 1000 runs only (binomial, own arithmetic).
"""

import pytest

from tests.simulations.cells import DIFFERENT, EQUAL, simulate

SEASONS = 150
UNSEEN = "so taken off and nobody noted it"  # what nobody recorded no report can see: stands in the limits
CONFOUNDED = ("cultivar not noted", "taken off")


@pytest.mark.parametrize("truth", [one for one in EQUAL if UNSEEN not in one.name], ids=lambda one: one.name)
def test_seasons_without_a_difference_are_hardly_ever_called_firm(truth):
    found = simulate(truth, SEASONS, seed=7)
    assert found.firm <= 8 / SEASONS
    if not any(word in truth.name for word in CONFOUNDED):
        assert found.small_p <= 0.06 + 0.055
        assert found.differences is None or found.differences >= 0.90


@pytest.mark.parametrize("truth", [one for one in EQUAL if any(word in one.name for word in CONFOUNDED)],
                         ids=lambda one: one.name)  # fmt: skip
def test_what_is_confounded_or_hidden_shows_as_it_stands_in_the_limits(truth):
    found = simulate(truth, SEASONS, seed=7)
    assert found.small_p > 0.10
    assert (found.firm > 0.05) == (UNSEEN in truth.name)


def test_a_difference_is_found_more_often_with_more_trees_and_never_the_wrong_way():
    few, more = (simulate(truth, SEASONS, seed=7) for truth in (DIFFERENT[0], DIFFERENT[2]))
    assert 0.2 < few.firm < more.firm > 0.65
    assert few.wrong_way == more.wrong_way == 0


def test_ranges_of_rates_hold_the_truth():
    assert simulate(EQUAL[0], SEASONS, seed=7).rates >= 0.90
    assert simulate(EQUAL[1], SEASONS, seed=7).rates >= 0.93

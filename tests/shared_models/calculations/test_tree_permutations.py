"""Trees dealt out anew, all of them, by chance, or by moments."""

import math
import random
import time

import pytest

from shared_models.calculations.tree_permutations import permutation_p, permutation_p_within


def drawn(seed, trees, rate, spread=0.1):
    chance = random.Random(seed)
    size = 1 / spread - 1
    made = []
    for _ in range(trees):
        own, n = chance.betavariate(rate * size, (1 - rate) * size), chance.randint(20, 60)
        made.append((sum(chance.random() < own for _ in range(n)), n))
    return made


def by_hand(a, b, deals, seed=3):
    """The same share from another program's way: shuffled labels, ratio of sums."""
    chance = random.Random(seed)
    trees = [*a, *b]

    def apart(first, second):
        return abs(
            sum(x for x, _ in first) / sum(n for _, n in first)
            - sum(x for x, _ in second) / sum(n for _, n in second)
        )

    seen = apart(a, b)
    as_far = 0
    for _ in range(deals):
        chance.shuffle(trees)
        as_far += apart(trees[: len(a)], trees[len(a) :]) >= seen - 1e-12
    return as_far / deals


@pytest.mark.parametrize("seed", range(3))
def test_all_deals_agree_with_shuffled_labels(seed):
    a, b = drawn(seed, 6, 0.1), drawn(seed + 50, 5, 0.25)
    assert permutation_p(a, b) == pytest.approx(by_hand(a, b, 4000), abs=0.03)


@pytest.mark.parametrize("seed", range(3))
def test_random_deals_agree_with_shuffled_labels_and_never_give_nought(seed):
    a, b = drawn(seed, 12, 0.15), drawn(seed + 50, 12, 0.25)
    p = permutation_p(a, b)
    assert p == pytest.approx(by_hand(a, b, 4000), abs=0.03)
    assert permutation_p([(0, 50)] * 12, [(50, 50)] * 12) == 1 / 5000


@pytest.mark.parametrize("seed", range(3))
def test_the_normal_tail_of_many_trees_agrees_with_shuffled_labels(seed):
    a, b = drawn(seed, 24, 0.18), drawn(seed + 50, 22, 0.24)
    assert permutation_p(a, b) == pytest.approx(by_hand(a, b, 4000), abs=0.03)


def test_thousands_of_trees_take_no_time():
    a, b = [(1, 30), (4, 30)] * 5000, [(2, 30), (3, 30)] * 5000
    began = time.perf_counter()
    assert permutation_p(a, b) == 1.0
    assert time.perf_counter() - began < 5


def test_a_stratum_of_one_side_plays_no_part():
    strata = [([(0, 30)] * 4, [(9, 30)] * 4), ([(30, 30)] * 3, [])]
    assert permutation_p_within(strata) == permutation_p([(0, 30)] * 4, [(9, 30)] * 4)
    assert permutation_p_within([([(1, 2)], [])]) == 1.0


def test_two_strata_of_two_and_two_cannot_go_below_0_056():
    strata = [([(0, 30)] * 2, [(30, 30)] * 2)] * 2
    assert permutation_p_within(strata) == pytest.approx(2 / 36)


def test_what_differs_between_strata_is_no_difference_between_methods():
    """Cultivar one is damaged in 8 of 10 fruit, cultivar two in 1 of 10; the methods are alike within each."""
    strata = [([(24, 30)] * 5, [(24, 30)]), ([(3, 30)], [(3, 30)] * 5)]
    assert permutation_p_within(strata) == 1.0
    together = [tree for a, _ in strata for tree in a], [tree for _, b in strata for tree in b]
    assert permutation_p(*together) < 0.1


def test_swapping_sides_and_strata_changes_no_digit_also_of_random_deals():
    strata = [(drawn(1, 9, 0.1), drawn(2, 9, 0.2)), (drawn(3, 7, 0.1), drawn(4, 8, 0.2))]
    p = permutation_p_within(strata)
    assert p == permutation_p_within([(b, a) for a, b in reversed(strata)])
    assert 0 < p < 1 and not math.isclose(p * 5000 % 1, 0.5)

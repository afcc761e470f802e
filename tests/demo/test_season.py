"""The generator: the same seed gives the same seasons, and its expected rates are what its draws come to."""

from __future__ import annotations

from random import Random

import pytest

from demo import doings
from demo.own_count import compared_mixes
from demo.place import GARDENS, MIXES
from demo.season import InventedSeasons, invent
from demo.truth import CLEAN_DROP, DAMAGED_DROP, Mix, bear


@pytest.fixture(scope="module")
def first_seed() -> InventedSeasons:
    """The seed that is shipped."""
    return invent(1)


def of_kind(seasons: InventedSeasons, kind: type) -> list:
    """The doings of one kind."""
    return [doing for doing in seasons.doings if isinstance(doing, kind)]


def test_the_same_seed_gives_the_same_seasons_and_another_seed_others(first_seed):
    assert invent(1) == first_seed
    assert invent(2) != first_seed


def test_every_seed_has_the_same_true_rates():
    assert invent(1).mixes == invent(2).mixes == MIXES


def test_doings_come_in_order_of_time(first_seed):
    moments = [doing.moment.timestamp() for doing in first_seed.doings]
    assert moments == sorted(moments)


def test_two_gardens_lie_in_the_north_and_one_in_the_south_with_a_season_each(first_seed):
    assert sorted((garden.hemisphere, garden.season) for garden in GARDENS.values()) == [
        ("north", "2026"),
        ("north", "2026"),
        ("south", "2025/26"),
    ]
    assert len(first_seed.trees) == 55


def test_every_name_of_a_garden_says_that_it_is_invented():
    assert all(garden.name.endswith("(invented)") for garden in GARDENS.values())


def test_every_mix_has_at_least_three_trees_in_the_comparison(first_seed):
    compared = [
        (tree.garden, mix.key)
        for tree in first_seed.trees
        if tree.recorded and tree.compared
        for mix in compared_mixes(tree)
    ]
    assert min(compared.count((mix.garden, mix.key)) for mix in MIXES) == 3


@pytest.mark.parametrize("rate", [0.04, 0.14, 0.30])
def test_the_expected_shares_are_what_many_trees_come_to(rate):
    mix, chance = Mix("hill", "mix", rate), Random(7)
    parts = [bear(mix, 100, chance).fruit for _ in range(20_000)]
    picked = [one for fruit in parts for one in fruit.picked]
    damaged = sum(picked) + sum(fruit.fallen_damaged for fruit in parts)
    # Rates of 20 000 trees scatter by sqrt(rate * (1 - rate) * ICC / 20 000), below 0.001; four times that is allowed.
    assert damaged / 2_000_000 == pytest.approx(rate, abs=0.004)
    assert sum(picked) / len(picked) == pytest.approx(mix.picked_rate, abs=0.004)


def test_fallen_fruit_are_taken_from_damaged_and_clean_in_their_own_shares():
    mix, chance = Mix("hill", "mix", 0.5), Random(3)
    parts = [bear(mix, 200, chance).fruit for _ in range(2_000)]
    fallen_damaged = sum(fruit.fallen_damaged for fruit in parts)
    fallen_clean = sum(fruit.fallen_clean for fruit in parts)
    damaged = fallen_damaged + sum(sum(fruit.picked) for fruit in parts)
    assert fallen_damaged / damaged == pytest.approx(DAMAGED_DROP, abs=0.005)
    assert fallen_clean / (400_000 - damaged) == pytest.approx(CLEAN_DROP, abs=0.005)


def test_people_do_everything_that_makes_counting_hard(first_seed):
    scores, drops = of_kind(first_seed, doings.Score), of_kind(first_seed, doings.LookForDrops)
    numbers = [one.number for look in drops for one in look.found]
    assert [one.slips for one in scores if one.slips] == [1, 2] or [
        one.slips for one in scores if one.slips
    ] == [2, 1]
    assert any(not look.found for look in drops)
    assert any(number.low != number.high for number in numbers)
    assert any(number.estimated and number.low == number.high for number in numbers)
    assert any(one.picked.weight_kg for one in scores)
    assert any(one.picked.all_scored for one in scores)
    assert sum(one.double for one in of_kind(first_seed, doings.CountTrap)) == 1
    assert len(of_kind(first_seed, doings.TakeBack)) == 2
    assert len(of_kind(first_seed, doings.SaySameTree)) == 12
    assert any(doing.told_day for doing in first_seed.doings)
    assert any(doing.helper for doing in first_seed.doings)


def test_one_phone_shares_nothing_from_march_until_october(first_seed):
    days = [doing.moment.date() for doing in of_kind(first_seed, doings.Share) if doing.phone == "dile"]
    assert [f"{day:%Y-%m-%d}" for day in days[:2]] == ["2026-03-20", "2026-10-04"]


def test_two_phones_score_one_tree_at_the_same_minute(first_seed):
    places = [(one.tree, one.cover, one.moment) for one in of_kind(first_seed, doings.Score)]
    together = [place for place in set(places) if places.count(place) == 2]
    assert len(together) == 1

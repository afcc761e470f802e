"""Several picks, samples and drops of one tree."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.spread import method_rates
from shared_models.calculations.weighted_samples import Sample, WeightedRate, combine, of_all_fruit
from tests.shared_models.calculations.reference_rows import vectors


@st.composite
def samples(draw, with_total: bool = True) -> Sample:
    scored = draw(st.one_of(st.integers(1, 400), st.floats(0.5, 400)))
    damaged = min(scored, draw(st.floats(0, 1)) * scored)
    total = draw(st.floats(scored, scored + 2000)) if with_total else None
    return Sample(total, scored, damaged)


days = st.lists(samples(), min_size=1, max_size=8)
mixed_days = st.lists(st.one_of(samples(), samples(with_total=False)), min_size=1, max_size=8)


# 300 picked, 30 of them scored with 8 damaged, and 40 drops with 30 damaged: own arithmetic, 110 of 340.
def test_a_sample_of_the_picked_and_all_drops_make_32_4_percent_and_not_38_of_70():
    result = of_all_fruit([Sample(300, 30, 8)], [Sample(40, 40, 30)])
    assert result is not None
    assert result.rate == pytest.approx((300 * 8 / 30 + 30) / 340, abs=1e-12)
    assert f"{result.rate:.1%}" == "32.4%"
    assert result.effective_scored == pytest.approx(
        1 / ((300 / 340) ** 2 / 30 + (40 / 340) ** 2 / 40), rel=1e-12
    )
    assert (result.total, result.total_unknown) == (340, False)


@pytest.mark.parametrize("row", vectors("damage from picked fruit only"))
def test_damage_of_picked_fruit_alone(row):
    damaged, scored = _numbers(row["input"])
    assert f"{combine([Sample(scored, scored, damaged)]).rate:.5f}" == row["value"]


@pytest.mark.parametrize("row", vectors("damage incl. drops"))
def test_damage_with_drops(row):
    damaged, scored, drops_damaged, drops = _numbers(row["input"])
    result = of_all_fruit([Sample(scored, scored, damaged)], [Sample(drops, drops, drops_damaged)])
    assert result is not None
    assert f"{result.rate:.5f}" == row["value"]


def _numbers(text: str) -> list[int]:
    return [int(word) for word in text.split() if word.isdigit()]


def test_one_day_is_taken_as_counted_even_above_the_cap():
    assert combine([Sample(500, 120, 7)]) == WeightedRate(7 / 120, 120, 7, 500, False, weight=120)


def test_a_single_day_without_a_total_keeps_its_counts_and_says_that_the_total_is_unknown():
    assert combine([Sample(None, 50, 5)]) == WeightedRate(0.1, 50, 5, None, True, weight=50)


def test_two_days_are_worth_at_most_the_cap():
    result = combine([Sample(100, 100, 10), Sample(100, 100, 20)])
    assert result.rate == pytest.approx(0.15)
    assert (result.effective_scored, result.effective_damaged) == pytest.approx((60, 9.0))
    assert combine([Sample(100, 100, 10), Sample(100, 100, 20)], cap=1000).effective_scored == pytest.approx(
        200
    )


def test_a_day_weighs_what_was_picked_not_what_was_scored():
    result = combine([Sample(900, 30, 3), Sample(100, 30, 15)])
    assert result.rate == pytest.approx(0.9 * 0.1 + 0.1 * 0.5)
    assert result.effective_scored == pytest.approx(1 / (0.9**2 / 30 + 0.1**2 / 30))


def test_a_scored_day_without_a_total_pools_all_days_as_counted():
    result = combine([Sample(900, 30, 3), Sample(None, 10, 5)])
    assert result == WeightedRate(8 / 40, 40, 8, None, True, weight=40)


def test_pooled_days_are_capped_as_well():
    assert combine([Sample(None, 50, 5), Sample(None, 50, 5)]).effective_scored == 60


def test_a_day_with_nothing_scored_counts_in_the_total_and_leaves_the_rate_to_the_scored_day():
    assert combine([Sample(100, 80, 8), Sample(300, 0, 0)]) == WeightedRate(0.1, 80, 8, 400, False, weight=80)


def test_an_unscored_day_without_a_total_leaves_the_weights_but_not_the_total():
    scored = [Sample(900, 30, 3), Sample(100, 30, 15)]
    result, known = combine([*scored, Sample(None, 0, 0)]), combine(scored)
    assert (result.rate, result.effective_scored) == (known.rate, known.effective_scored)
    assert (result.total, result.total_unknown) == (None, True)


def test_in_all_fruit_an_unscored_pick_is_spoken_for_by_picks_and_not_by_drops():
    result = of_all_fruit([Sample(100, 30, 8), Sample(200, 0, 0)], [Sample(40, 40, 30)])
    together = of_all_fruit([Sample(300, 30, 8)], [Sample(40, 40, 30)])
    assert result is not None and together is not None
    assert result.rate == pytest.approx(together.rate, rel=1e-12)
    assert result.total == 340


def test_a_tree_without_drops_and_removals_has_the_picked_rate_of_all_fruit():
    assert of_all_fruit([Sample(300, 30, 8)]) == combine([Sample(300, 30, 8)])
    assert of_all_fruit([Sample(300, 30, 8)], [Sample(0, 0, 0)]) == combine([Sample(300, 30, 8)])


def test_removed_fruit_are_a_further_source():
    result = of_all_fruit([Sample(50, 50, 5)], [Sample(30, 30, 20)], [Sample(20, 20, 20)])
    assert result is not None
    assert result.rate == pytest.approx(0.45)


@pytest.mark.parametrize(
    ("picked", "drops"),
    [
        ([Sample(None, 30, 3)], []),
        ([Sample(300, 30, 3)], [Sample(None, 10, 5)]),
        ([Sample(300, 30, 3)], [Sample(25, 0, 0)]),
        ([Sample(300, 30, 3)], [Sample(None, 0, 0)]),
        ([Sample(300, 30, 3), Sample(None, 0, 0)], []),
        ([Sample(0, 0, 0)], []),
        ([], []),
    ],
    ids=[
        "picked total missing",
        "drops total missing",
        "drops not scored",
        "number of drops not known",
        "one pick unknown",
        "no fruit",
        "nothing recorded",
    ],
)
def test_there_is_no_rate_of_all_fruit_when(picked, drops):
    assert of_all_fruit(picked, drops) is None


@settings(deadline=None)
@given(mixed_days, st.integers())
def test_the_order_of_the_days_changes_no_digit(days, seed):
    shuffled = random.Random(seed).sample(days, len(days))
    assert combine(shuffled) == combine(days)


@settings(deadline=None)
@given(days, st.lists(samples(), max_size=4), st.integers())
def test_the_order_within_sources_changes_no_digit_of_all_fruit(picked, drops, seed):
    deal = random.Random(seed)
    shuffled = of_all_fruit(deal.sample(picked, len(picked)), deal.sample(drops, len(drops)))
    assert shuffled == of_all_fruit(picked, drops)


@settings(deadline=None)
@given(mixed_days)
def test_a_rate_lies_between_those_of_its_days_and_is_worth_no_more_fruit_than_were_scored(days):
    result = combine(days)
    rates = [day.damaged / day.scored for day in days]
    assert min(rates) - 1e-12 <= result.rate <= max(rates) + 1e-12
    assert 0 <= result.rate <= 1
    assert 0 < result.effective_scored <= math.fsum(day.scored for day in days) * (1 + 1e-12)
    assert 0 <= result.effective_damaged <= result.effective_scored
    assert result.total_unknown == (result.total is None) == any(day.total is None for day in days)


@settings(deadline=None)
@given(st.lists(samples(), min_size=2, max_size=6))
def test_where_everything_was_scored_the_rate_is_that_of_the_plain_counts(days):
    full = [Sample(day.scored, day.scored, day.damaged) for day in days]
    scored, damaged = math.fsum(d.scored for d in days), math.fsum(d.damaged for d in days)
    result = combine(full, cap=1e9)
    assert result.rate == pytest.approx(damaged / scored, rel=1e-12)
    assert result.effective_scored == pytest.approx(scored, rel=1e-12)


@settings(deadline=None)
@given(days, st.floats(0.01, 1000))
def test_the_unit_of_the_totals_cancels_out_of_the_rate(days, unit):
    tonnes = [Sample(max(day.scored, (day.total or 0) * unit), day.scored, day.damaged) for day in days]
    pounds = [Sample((day.total or 0) * 2.2, day.scored, day.damaged) for day in tonnes]
    assert combine(pounds).rate == pytest.approx(combine(tonnes).rate, rel=1e-12)


whole_days = st.builds(
    lambda damaged, clean, more: Sample(
        None if more is None else damaged + clean + more, damaged + clean, damaged
    ),
    st.integers(0, 40),
    st.integers(1, 40),
    st.none() | st.integers(0, 300),
)
a_tree = st.lists(whole_days, min_size=1, max_size=4)
a_mix = st.lists(a_tree, min_size=1, max_size=5)


def with_clean(day: Sample, clean: int, *, of_those_picked: bool) -> Sample:
    """A day with more clean fruit scored: of those that were picked, as far as there are any, or in addition to them."""
    if day.total is None or not of_those_picked:
        return Sample(day.total and day.total + clean, day.scored + clean, day.damaged)
    return Sample(day.total, min(day.total, day.scored + clean), day.damaged)


def rate_of_mix(trees: list[list[Sample]]) -> float:
    return method_rates({"mix": [combine(days).among_others for days in trees]})["mix"].rate


@settings(deadline=None, max_examples=300)
@given(a_mix, st.integers(0, 4), st.integers(0, 3), st.integers(1, 200), st.booleans())
def test_more_clean_fruit_in_any_sample_never_raises_the_rate_of_a_mix(
    mix, tree, day, clean, of_those_picked
):
    days = mix[tree % len(mix)]
    at = day % len(days)
    fuller = [*days[:at], with_clean(days[at], clean, of_those_picked=of_those_picked), *days[at + 1 :]]
    after = [*mix[: tree % len(mix)], fuller, *mix[tree % len(mix) + 1 :]]
    assert combine(fuller).rate <= combine(days).rate + 1e-12
    assert rate_of_mix(after) <= rate_of_mix(mix) + 1e-12


@settings(deadline=None, max_examples=300)
@given(a_mix, st.integers(0, 4), st.integers(1, 200), st.integers(0, 300))
def test_a_further_clean_day_never_raises_the_rate_of_its_tree_nor_of_a_mix_where_it_had_two(
    mix, tree, clean, more
):
    days = mix[tree % len(mix)]
    unknown = any(day.total is None for day in days)
    further = [*days, Sample(None if unknown else clean + more, clean, 0)]
    assert combine(further).rate <= combine(days).rate + 1e-12
    if len(days) > 1:
        after = [*mix[: tree % len(mix)], further, *mix[tree % len(mix) + 1 :]]
        assert rate_of_mix(after) <= rate_of_mix(mix) + 1e-12


@settings(deadline=None, max_examples=300)
@given(st.lists(whole_days, max_size=3), st.lists(whole_days, min_size=1, max_size=3), st.integers(1, 200))
def test_more_clean_drops_never_raise_the_rate_of_all_fruit(picked, drops, clean):
    before, after = (
        of_all_fruit(picked, found)
        for found in (drops, [with_clean(drops[0], clean, of_those_picked=False), *drops[1:]])
    )
    assert (before is None) == (after is None)
    assert before is None or after is None or after.rate <= before.rate + 1e-12


def test_counted_as_what_samples_are_worth_clean_fruit_would_raise_a_mix_and_so_they_are_not():
    beside = combine([Sample(1, 1, 0)])
    before, after = (combine([Sample(2, clean, 0), Sample(1, 1, 1)]) for clean in (1, 2))
    worth = [
        (one.effective_damaged + beside.effective_damaged) / (one.effective_scored + beside.effective_scored)
        for one in (before, after)
    ]
    assert worth == pytest.approx([0.6 / 2.8, 0.25])
    rates = [
        method_rates({"mix": [one.among_others, beside.among_others]})["mix"].rate for one in (before, after)
    ]
    assert rates == pytest.approx([0.25, 0.25])


def test_the_limit_a_tree_scored_on_one_day_weighs_anew_with_a_second_one():
    beside = [Sample(50, 50, 0)]
    once, twice = [Sample(100, 2, 1)], [Sample(100, 2, 1), Sample(10, 10, 0)]
    assert combine(twice).rate < combine(once).rate
    assert rate_of_mix([twice, beside]) > rate_of_mix([once, beside])


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: combine([]), "No fruit was scored on any of these days"),
        (lambda: combine([Sample(100, 0, 0)]), "No fruit was scored on any of these days"),
        (lambda: combine([Sample(20, 30, 3)]), "more scored fruit"),
        (lambda: combine([Sample(math.nan, 30, 3)]), "more scored fruit"),
        (lambda: combine([Sample(100, 0, 1)]), "At least some fruit must have been scored"),
        (lambda: combine([Sample(100, 30, 31)]), "more damaged fruit"),
        (lambda: combine([Sample(100, 30, 3)], cap=0), "cap on effective fruit"),
        (lambda: of_all_fruit([Sample(20, 30, 3)]), "more scored fruit"),
    ],
)
def test_impossible_samples_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence) as refused:
        call()
    assert str(refused.value).endswith(".")

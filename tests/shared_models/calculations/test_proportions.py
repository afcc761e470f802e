"""The range of one tree's damaged share."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.proportions import Range, upper_bound_when_none, wilson, wilson_with
from shared_models.calculations.quantiles import normal_quantile
from tests.shared_models.calculations.reference_rows import checks, near, vectors


@st.composite
def counts(draw) -> tuple[float, float]:
    scored = draw(st.one_of(st.integers(1, 5000), st.floats(0.5, 5000)))
    part = draw(st.one_of(st.floats(0, 1), st.sampled_from([0.0, 1.0])))
    return min(scored, part * scored), scored


@pytest.mark.parametrize("row", checks("wilson_"))
def test_the_wilson_range_is_that_of_r(row):
    limits = wilson(row["input"]["x"], row["input"]["n"], row["input"]["level"])
    assert {"low": limits.low, "high": limits.high} == near(row, row["expected"])


@pytest.mark.parametrize("row", checks("newcombe1998a_"))
def test_the_wilson_range_is_the_published_one(row):
    limits = wilson(row["input"]["x"], row["input"]["n"])
    assert [limits.low, limits.high] == near(row, row["expected"]["wilson"])


@pytest.mark.parametrize("row", vectors("Wilson 95 % interval"))
def test_the_wilson_range_is_the_printed_one(row):
    damaged, scored = map(int, row["input"].split("/"))
    limits = wilson(damaged, scored)
    assert f"{limits.low:.5f}..{limits.high:.5f}" == row["value"]
    assert f"p={damaged / scored:.4f}" == row["comment"]


@pytest.mark.parametrize("row", checks("ruleof3_"))
def test_no_damage_leaves_the_exact_upper_bound_of_r(row):
    scored = row["input"]["n"]
    assert upper_bound_when_none(scored) == near(row, row["expected"]["exact"])
    assert upper_bound_when_none(scored) < row["expected"]["three_over_n"]


@pytest.mark.parametrize("row", vectors("zero damaged of n"))
def test_no_damage_leaves_the_printed_upper_bound(row):
    assert f"{upper_bound_when_none(int(row['input'].removeprefix('n='))):.5f}" == row["value"]


@pytest.mark.parametrize("row", vectors("detect 0.5 % prevalence"))
def test_the_fewest_fruit_that_rule_out_half_a_percent(row):
    fewest = int(row["value"])
    assert upper_bound_when_none(fewest) <= 0.005 < upper_bound_when_none(fewest - 1)


@settings(deadline=None)
@given(counts())
def test_a_range_is_ordered_inside_0_to_1_never_empty_and_holds_its_rate(counts):
    damaged, scored = counts
    limits = wilson(damaged, scored)
    assert 0 <= limits.low <= damaged / scored <= limits.high <= 1
    assert limits.low < limits.high


@settings(deadline=None)
@given(counts())
def test_undamaged_fruit_have_the_mirrored_range(counts):
    damaged, scored = counts
    sound = wilson(scored - damaged, scored)
    limits = wilson(damaged, scored)
    assert [sound.low, sound.high] == pytest.approx([1 - limits.high, 1 - limits.low], abs=1e-9)


@settings(deadline=None)
@given(counts(), st.floats(0, 1))
def test_more_damage_never_lowers_a_limit(counts, part):
    damaged, scored = counts
    fewer, more = wilson(damaged * part, scored), wilson(damaged, scored)
    assert fewer.low <= more.low + 1e-12
    assert fewer.high <= more.high + 1e-12


@settings(deadline=None)
@given(counts(), st.floats(1.01, 50))
def test_more_fruit_at_the_same_rate_narrow_the_range(counts, times):
    damaged, scored = counts
    wide, narrow = wilson(damaged, scored), wilson(min(damaged * times, scored * times), scored * times)
    assert narrow.high - narrow.low < wide.high - wide.low


@settings(deadline=None)
@given(counts(), st.floats(0.5, 0.99))
def test_a_higher_level_is_wider(counts, level):
    damaged, scored = counts
    inner, outer = wilson(damaged, scored, level), wilson(damaged, scored, level + 0.009)
    assert outer.low <= inner.low + 1e-12
    assert outer.high >= inner.high - 1e-12


def test_the_ends_are_exactly_0_and_1():
    assert wilson(0, 37.3).low == 0.0
    assert wilson(37.3, 37.3).high == 1.0


def test_the_range_follows_the_quantile_it_is_given():
    wider = wilson_with(0.1, 100, 2.5)
    assert wilson_with(0.1, 100, normal_quantile(0.975)) == wilson(10, 100)
    assert wider.low < wilson(10, 100).low < wilson(10, 100).high < wider.high


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: wilson(0, 0), "At least some fruit must have been scored"),
        (lambda: wilson(0, -3), "At least some fruit must have been scored"),
        (lambda: wilson(1, math.nan), "At least some fruit must have been scored"),
        (lambda: wilson(1, math.inf), "At least some fruit must have been scored"),
        (lambda: wilson(-1, 10), "must be 0 or more"),
        (lambda: wilson(math.nan, 10), "must be 0 or more"),
        (lambda: wilson(11, 10), "more damaged fruit"),
        (lambda: wilson(1, 10, 95), "such as 0.95"),
        (lambda: upper_bound_when_none(0), "At least some fruit must have been scored"),
        (lambda: upper_bound_when_none(10, 1), "such as 0.95"),
        (lambda: wilson_with(1.2, 10, 2), "between 0 and 1"),
        (lambda: wilson_with(0.2, 0, 2), "effective fruit"),
        (lambda: wilson_with(0.2, 10, math.nan), "quantile"),
    ],
)
def test_impossible_counts_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence) as refused:
        call()
    assert str(refused.value).endswith(".")


def test_a_range_cannot_be_changed():
    with pytest.raises(AttributeError):
        setattr(Range(0.1, 0.2), "low", 0.0)  # noqa: B010 - a plain assignment would not pass the type check

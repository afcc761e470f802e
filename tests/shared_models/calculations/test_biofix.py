"""Biofix as an interval. The rules are those of `shared_models/reference/trap_rules.csv`, each with its source there."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.biofix import (
    MOST_DAYS_UNSEEN,
    Biofix,
    Evening,
    Look,
    Rule,
    State,
    biofix,
    evening_of,
)
from tests.strategies import law

MAY = date(2026, 5, 1)
LOOKING = [Rule.IN_A_ROW, Rule.TOTAL, Rule.MEAN]


def looks(*counts: tuple[int, int], trap: str = "T1", hung: int = 0) -> list[Look]:
    """Counts of one trap as (day of May, moths), each since the one before."""
    found, since = [], date(2026, 5, 1) + timedelta(hung - 1)
    for day, moths in counts:
        on = MAY + timedelta(day - 1)
        found.append(Look(f"{trap}.{day}", trap, on, moths, since))
        since = on
    return found


def lost_before(found: list[Look], place: int) -> list[Look]:
    """The same, but the trap was lost or flooded before one of the looks."""
    look = found[place]
    return [*found[:place], Look(look.key, look.trap, look.day, look.catch, None), *found[place + 1 :]]


def evenings(warm: range = range(0), cool: range = range(0)) -> dict[date, Evening]:
    """Evenings by day of May."""
    told = {MAY + timedelta(day - 1): Evening.WARM for day in warm}
    return told | {MAY + timedelta(day - 1): Evening.COOL for day in cool}


def found(rule: Rule, made: list[Look], on: int, warmth: dict[date, Evening] | None = None) -> Biofix:
    """What the rule says on a day of May."""
    return biofix(rule, made, warmth or {}, MAY + timedelta(on - 1))


# ---------------------------------------------------------------- one moth alone
@pytest.mark.parametrize("rule", LOOKING)
def test_one_single_moth_then_none_is_no_biofix(rule: Rule):
    made = looks((1, 0), (4, 1), (7, 0), (10, 0))
    assert found(rule, made, 12, evenings(warm=range(1, 20))).state is State.NOT_MET


# ---------------------------------------------------------------- three days in a row and a warm sunset
def test_three_days_in_a_row_on_warm_evenings_are_a_biofix_on_the_first_of_them():
    made = looks((1, 0), (2, 1), (3, 2), (4, 1))
    one = found(Rule.IN_A_ROW, made, 4, evenings(warm=range(1, 5)))
    assert (one.state, one.first, one.last) == (State.MET, date(2026, 5, 1), date(2026, 5, 2))
    assert one.made_by == ("T1.2", "T1.3", "T1.4") and one.moths == 4


def test_three_days_in_a_row_below_62_degrees_at_sunset_are_none():
    made = looks((1, 0), (2, 1), (3, 2), (4, 1))
    one = found(Rule.IN_A_ROW, made, 4, evenings(cool=range(1, 5)))
    assert one.state is State.NOT_MET and one.rule is Rule.IN_A_ROW and one.cool == (date(2026, 5, 2),)


def test_two_days_in_a_row_are_not_enough():
    made = looks((1, 0), (2, 3), (3, 2))
    assert found(Rule.IN_A_ROW, made, 3, evenings(warm=range(1, 9))).state is State.NOT_MET


def test_a_run_begins_on_its_first_warm_evening():
    made = looks((1, 0), (2, 1), (3, 1), (4, 1), (5, 2))
    one = found(Rule.IN_A_ROW, made, 5, evenings(cool=range(1, 3), warm=range(3, 9)))
    assert (one.state, one.first, one.last) == (State.MET, date(2026, 5, 2), date(2026, 5, 3))
    assert one.cool == (date(2026, 5, 2),)


def test_a_sunset_that_nobody_noted_is_named_and_the_rule_is_not_known():
    made = looks((1, 0), (2, 1), (3, 2), (4, 1))
    one = found(Rule.IN_A_ROW, made, 4)
    assert one.state is State.NOT_KNOWN and one.dusk_missing == (date(2026, 5, 2),)


def test_visits_twice_a_week_in_a_row_give_the_interval_since_the_last_none():
    made = looks((1, 0), (4, 2), (8, 3))
    one = found(Rule.IN_A_ROW, made, 8, evenings(warm=range(1, 9)))
    assert (one.state, one.first, one.last) == (State.MET, date(2026, 5, 1), date(2026, 5, 4))


def test_a_look_without_moths_breaks_the_row():
    made = looks((1, 0), (2, 1), (3, 0), (4, 1), (5, 0))
    assert found(Rule.IN_A_ROW, made, 5, evenings(warm=range(1, 9))).state is State.NOT_MET


# ---------------------------------------------------------------- totals and means
def test_the_third_moth_is_a_biofix_by_the_total():
    one = found(Rule.TOTAL, looks((1, 0), (4, 1), (8, 2)), 8)
    assert (one.state, one.first, one.last, one.moths) == (State.MET, date(2026, 5, 4), date(2026, 5, 8), 3)
    assert one.made_by == ("T1.4", "T1.8")


def test_the_total_is_that_of_all_traps_of_the_garden():
    made = looks((1, 0), (4, 1)) + looks((1, 0), (4, 2), trap="T2")
    one = found(Rule.TOTAL, made, 4)
    assert (one.state, one.first, one.last) == (State.MET, date(2026, 5, 1), date(2026, 5, 4))


def test_the_mean_needs_three_moths_a_trap():
    made = looks((1, 0), (4, 5)) + looks((1, 0), (4, 0), trap="T2")
    assert found(Rule.MEAN, made, 4).state is State.NOT_MET
    made += [Look("T2.5", "T2", date(2026, 5, 5), 1, date(2026, 5, 4))]
    one = found(Rule.MEAN, made, 5)
    assert (one.state, one.moths, one.first) == (State.MET, 3.0, date(2026, 5, 4))


def test_another_number_of_moths_can_be_asked_for():
    made = looks((1, 0), (4, 4), (8, 1))
    assert biofix(Rule.TOTAL, made, {}, date(2026, 5, 8), moths=5).last == date(2026, 5, 8)


# ---------------------------------------------------------------- gaps are not known
@pytest.mark.parametrize("rule", [Rule.TOTAL, Rule.MEAN])
def test_a_gap_before_the_catch_is_not_known_and_keeps_the_interval(rule: Rule):
    one = found(rule, looks((1, 0), (4, 0), (18, 9)), 18)
    assert (one.state, one.first, one.last) == (State.NOT_KNOWN, date(2026, 5, 4), date(2026, 5, 18))


@pytest.mark.parametrize("rule", LOOKING)
def test_nobody_looked_for_more_than_a_week_is_not_known_and_never_not_met(rule: Rule):
    made = looks((1, 0), (4, 0))
    assert found(rule, made, 4 + MOST_DAYS_UNSEEN).state is State.NOT_MET
    late = found(rule, made, 5 + MOST_DAYS_UNSEEN)
    assert late.state is State.NOT_KNOWN and late.seen_until == date(2026, 5, 4)


@pytest.mark.parametrize("rule", [Rule.TOTAL, Rule.MEAN])
def test_moths_at_the_first_look_may_have_flown_before_the_trap_hung(rule: Rule):
    one = found(rule, looks((4, 7)), 4)
    assert (one.state, one.first, one.last) == (State.NOT_KNOWN, None, date(2026, 5, 4))


def test_moths_of_a_lost_trap_may_have_been_the_first():
    made = lost_before(looks((1, 0), (8, 1), (12, 2)), 1)
    one = found(Rule.TOTAL, made, 12)
    assert (one.state, one.first, one.last) == (State.NOT_KNOWN, date(2026, 5, 1), date(2026, 5, 12))


def test_a_look_without_moths_after_a_lost_trap_says_that_the_flight_has_not_begun():
    made = lost_before(looks((1, 0), (8, 0), (12, 3)), 1)
    one = found(Rule.TOTAL, made, 12)
    assert (one.state, one.first) == (State.MET, date(2026, 5, 8))


def test_without_any_look_there_is_no_trap():
    assert found(Rule.TOTAL, [], 4).state is State.NO_TRAP


@pytest.mark.parametrize("rule", [Rule.BY_HAND, Rule.NONE])
def test_a_rule_that_looks_at_no_trap_is_refused(rule: Rule):
    with pytest.raises(ValueError, match=r"\.$"):
        found(rule, looks((1, 0)), 4)


# ---------------------------------------------------------------- evenings
def test_62_degrees_fahrenheit_are_warm_enough():
    assert evening_of((62 - 32) / 1.8, None, None) is Evening.WARM
    assert evening_of((61 - 32) / 1.8, None, None) is Evening.COOL


def test_a_day_that_stayed_below_was_cool_and_one_that_never_fell_below_was_warm():
    assert evening_of(None, 2, 16) is Evening.COOL
    assert evening_of(None, 17, 30) is Evening.WARM
    assert evening_of(None, 10, 25) is Evening.NOT_KNOWN
    assert evening_of(None, None, None) is Evening.NOT_KNOWN


# ---------------------------------------------------------------- laws
@st.composite
def many_looks(draw: st.DrawFn) -> list[Look]:
    """Counts of up to three traps."""
    made: list[Look] = []
    for trap in draw(st.lists(st.sampled_from("ABC"), min_size=1, max_size=3, unique=True)):
        days = draw(st.lists(st.integers(1, 40), min_size=1, max_size=12, unique=True))
        made += looks(*((day, draw(st.integers(0, 4))) for day in sorted(days)), trap=trap)
    return made


warmth = st.dictionaries(
    st.integers(0, 39).map(lambda n: MAY + timedelta(n)), st.sampled_from(Evening), max_size=40
)


@law
@given(
    rule=st.sampled_from(LOOKING), made=many_looks(), told=warmth, shuffled=st.randoms(use_true_random=False)
)
def test_the_order_in_which_looks_arrive_changes_nothing(rule: Rule, made: list[Look], told, shuffled):
    other = list(made)
    shuffled.shuffle(other)
    assert biofix(rule, made, told, date(2026, 6, 9)) == biofix(rule, other, told, date(2026, 6, 9))


@law
@given(rule=st.sampled_from(LOOKING), made=many_looks(), told=warmth)
def test_an_interval_runs_forwards_over_a_week_at_most_where_the_rule_is_met(rule: Rule, made, told):
    one = biofix(rule, made, told, date(2026, 6, 9))
    if one.state is State.MET:
        assert one.first and one.last and 0 < (one.last - one.first).days <= MOST_DAYS_UNSEEN
        assert one.made_by and set(one.made_by) <= {look.key for look in made if look.catch}


@law
@given(rule=st.sampled_from([Rule.TOTAL, Rule.MEAN]), made=many_looks(), more=st.integers(41, 60))
def test_a_later_look_never_takes_a_biofix_away(rule: Rule, made: list[Look], more: int):
    before = biofix(rule, made, {}, date(2026, 6, 9))
    later = [*made, Look("later", "A", MAY + timedelta(more), 9, MAY)]
    if before.last is not None:
        after = biofix(rule, later, {}, date(2026, 7, 30))
        assert (after.state, after.first, after.last) == (before.state, before.first, before.last)

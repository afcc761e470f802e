"""How a garden's timing is worked out: told in words, chosen for one garden or for all, taken back as it was."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.day_temperatures import note_day
from mobile.workflows.first_start import name_garden
from mobile.workflows.timing import garden_timings, set_timing_of_group, settings_now
from mobile.workflows.timing_settings import Asked, change_timing, how_page, in_celsius, in_unit, take_back
from shared_models.calculations.biofix import Rule
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.seasons import Hemisphere
from shared_models.timing.readings import OWN
from shared_models.vocabulary import Fill
from tests.mobile.phones import SetClock
from tests.mobile.workflows.weather import at, with_weather

MAY = date(2026, 5, 25)


@pytest.fixture
def hill(phone: PhoneStore, garden: str, clock: SetClock) -> str:
    """A second garden of the same half of the earth, on a day in May."""
    at(clock, MAY)
    return name_garden(phone, "Hill", Hemisphere.NORTH).garden


def holds(phone: PhoneStore, garden: str, asked: Asked) -> str:
    return next(line.holds for line in how_page(phone, garden).lines if line.asked is asked)


def test_as_usual_until_somebody_chooses(phone: PhoneStore, garden: str, hill: str) -> None:
    page = how_page(phone, garden)
    assert page.several and [line.asked for line in page.lines] == list(Asked)
    assert all(line.holds.endswith("As usual; nobody chose.") for line in page.lines)
    assert together("thresholds 10 and 31.1 °C.") in holds(phone, garden, Asked.THRESHOLDS)


def test_what_one_garden_chooses_is_its_own_and_is_taken_back(
    phone: PhoneStore, garden: str, hill: str
) -> None:
    changed = change_timing(phone, garden, Asked.RULE, False, rule=Rule.MEAN, moths=4)
    assert settings_now(phone, garden).rule is Rule.MEAN and settings_now(phone, hill).rule is None
    assert "enough moths a trap on average (4 moths)" in holds(phone, garden, Asked.RULE)
    assert holds(phone, garden, Asked.RULE).endswith("Chosen for this garden.")
    take_back(phone, changed)
    assert settings_now(phone, garden).rule is None
    assert holds(phone, garden, Asked.RULE).endswith("As usual; nobody chose.")


def test_what_is_chosen_for_all_holds_in_this_garden_too_whatever_it_said_before(
    phone: PhoneStore, garden: str, hill: str
) -> None:
    change_timing(phone, garden, Asked.METHOD, False, method=Method.AVERAGE, cutoff=Cutoff.VERTICAL)
    change_timing(phone, garden, Asked.THRESHOLDS, False, lower_c=9.0, upper_c=30.0)
    changed = change_timing(
        phone, garden, Asked.METHOD, True, method=Method.DOUBLE_SINE, cutoff=Cutoff.HORIZONTAL
    )
    for one in (garden, hill):
        assert settings_now(phone, one).reckoning.method is Method.DOUBLE_SINE
        assert holds(phone, one, Asked.METHOD).endswith("Chosen for every garden of the group.")
    assert settings_now(phone, garden).reckoning.lower == 9.0
    take_back(phone, changed)
    assert settings_now(phone, garden).reckoning.method is Method.AVERAGE
    assert settings_now(phone, hill).reckoning.method is Method.SINGLE_SINE


def test_taking_back_leaves_what_others_chose_beside_it(phone: PhoneStore, garden: str, hill: str) -> None:
    set_timing_of_group(phone, "2026", rule=Rule.TOTAL, moths=5)
    changed = change_timing(phone, garden, Asked.MISSING, True, fill=Fill.INTERPOLATE)
    take_back(phone, changed)
    assert (settings_now(phone, hill).rule, settings_now(phone, hill).moths) == (Rule.TOTAL, 5)
    assert settings_now(phone, hill).sources.fill is Fill.NO


def test_a_day_by_hand_is_the_biofix_of_its_garden_and_another_rule_drops_it(
    phone: PhoneStore, garden: str, hill: str
) -> None:
    change_timing(phone, garden, Asked.RULE, False, rule=Rule.BY_HAND, biofix="2026-05-08")
    assert garden_timings(phone)[garden].flight.first == "2026-05-08"
    change_timing(phone, garden, Asked.RULE, False, rule=Rule.TOTAL, moths=3)
    assert settings_now(phone, garden).biofix is None


def test_thresholds_the_wrong_way_round_are_warned_of(phone: PhoneStore, garden: str, hill: str) -> None:
    changed = change_timing(phone, garden, Asked.THRESHOLDS, False, lower_c=31.0, upper_c=10.0)
    assert "does not lie below" in changed.sentence


def test_missing_days_are_all_named_and_those_filled_too(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    gone = tuple(f"2026-05-{day:02d}" for day in range(1, 16, 2))
    with_weather(phone, without=gone)
    at(clock, MAY)
    heading, missing = how_page(phone, garden).missing
    assert heading.startswith("A day without both temperatures") and missing == ", ".join(gone)
    change_timing(phone, garden, Asked.MISSING, False, fill=Fill.INTERPOLATE)
    heading, filled = how_page(phone, garden).missing
    assert (heading, filled) == ("Filled, not measured:", ", ".join(gone))


def test_a_source_may_fill_only_where_another_could_have_a_gap(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    with_weather(phone)
    at(clock, MAY)
    assert how_page(phone, garden).sources == ()
    note_day(phone, garden, MAY, 9, 20, "C")
    (only,) = how_page(phone, garden).sources
    change_timing(phone, garden, Asked.MISSING, False, fill=Fill.SECOND_SOURCE, second_source=only)
    assert settings_now(phone, garden).sources.second == only


def test_the_thermometer_that_goes_first_is_used_where_two_tell_of_one_day(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    with_weather(phone)
    at(clock, MAY)
    day = date(2026, 5, 20)
    note_day(phone, garden, day, 9, 35, "C")
    assert holds(phone, garden, Asked.SOURCE) == "Own thermometer. As usual; nobody chose."
    own, station = how_page(phone, garden).told
    assert own == OWN and used(phone, garden, day) == OWN
    changed = change_timing(phone, garden, Asked.SOURCE, True, source=station)
    assert used(phone, garden, day) == station
    assert holds(phone, garden, Asked.SOURCE) == f"{station}. Chosen for every garden of the group."
    change_timing(phone, garden, Asked.SOURCE, False, source=OWN)
    assert used(phone, garden, day) == OWN
    take_back(phone, changed)
    assert holds(phone, garden, Asked.SOURCE) == "Own thermometer. As usual; nobody chose."


def used(phone: PhoneStore, garden: str, day: date) -> str:
    """Whose reading is used for a day."""
    spans = garden_timings(phone)[garden].sources
    return next(one.source for one in spans if one.first <= day.isoformat() <= one.last)


@pytest.mark.parametrize(("typed", "unit", "celsius"), [(50, "F", 10.0), (88, "F", 31.11), (9.5, "C", 9.5)])
def test_thresholds_are_typed_in_either_unit(typed: float, unit: str, celsius: float) -> None:
    assert in_celsius(typed, unit) == celsius


def test_what_holds_is_shown_in_either_unit() -> None:
    assert (in_unit(31.1, "F"), in_unit(10.0, "F"), in_unit(9.5, "C")) == (88.0, 50.0, 9.5)


def test_a_garden_that_is_not_here_is_refused(phone: PhoneStore, trap: str) -> None:
    with pytest.raises(BadInputError, match="not on this phone"):
        how_page(phone, trap)

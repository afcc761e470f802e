"""When, on the phone: timing from what it holds, settings of garden and group, one line a garden for Today."""

from datetime import date

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.import_temperatures import TemperatureImport
from mobile.workflows.timing import (
    garden_timings,
    heat_lines,
    rule_choices,
    season_timing_of,
    set_timing,
    set_timing_of_group,
    settings_now,
    timing_text,
)
from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.degree_days import Method
from shared_models.language import together
from shared_models.reference.published_events import Clock
from shared_models.seasons import Hemisphere
from shared_models.timing.garden_timing import season_timing
from shared_models.timing.ground import from_entries
from tests.mobile.phones import SetClock
from tests.mobile.workflows.weather import at, with_flight, with_weather

JUNE = date(2026, 6, 10)
MAY = date(2026, 5, 25)


def test_heat_biofix_and_what_comes_next_without_any_network(
    phone: PhoneStore, garden: str, trap: str, clock: SetClock
) -> None:
    with_weather(phone)
    with_flight(phone, trap, clock)
    at(clock, MAY)
    timing = garden_timings(phone)[garden]
    assert (timing.flight.state, timing.flight.first, timing.flight.last) == (
        State.MET,
        "2026-05-07",
        "2026-05-11",
    )
    (line,) = heat_lines({garden: timing}, MAY)
    assert line.garden == garden and line.sentence.startswith(
        together("Lower garden: first egg hatch (139 °C-days, 250 °F-days)")
    )
    assert "from biofix (2026-05-07 to 2026-05-11) to 2026-05-25; single-sine" in line.reason
    assert line.reason.endswith("Biofix: 2026-05-07 to 2026-05-11.")


def test_the_line_of_a_garden_without_temperatures_says_what_is_missing(
    phone: PhoneStore, garden: str
) -> None:
    (line,) = heat_lines(garden_timings(phone), JUNE)
    assert line.sentence == "Lower garden: what comes next is not known."
    assert line.reason.startswith("No temperatures of this season yet")


def test_settings_are_made_once_for_garden_and_season_and_change_in_place(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    at(clock, JUNE)
    set_timing_of_group(phone, "2026", rule=Rule.MEAN, method=Method.DOUBLE_SINE)
    set_timing(phone, garden, rule=Rule.TOTAL, moths=4)
    set_timing(phone, garden, moths=5)
    timing = garden_timings(phone)[garden]
    assert (timing.flight.rule, timing.reckoned.method) == (Rule.TOTAL, Method.DOUBLE_SINE)
    assert timing.flight.wanted == 5
    assert settings_now(phone, garden).reckoning.method is Method.DOUBLE_SINE
    assert settings_now(phone, garden).moths == 5
    (doubt,) = set_timing(phone, garden, rule=Rule.BY_HAND)
    assert "no day is given" in doubt.sentence


def test_each_half_of_the_earth_has_its_own_season(phone: PhoneStore, garden: str, clock: SetClock) -> None:
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    at(clock, date(2026, 8, 20))
    timings = garden_timings(phone)
    assert timings[garden].hemisphere is Hemisphere.NORTH and timings[south].hemisphere is Hemisphere.SOUTH
    assert [one.garden for one in season_timing_of(phone, "2026/27").gardens] == [south]


def test_the_text_names_garden_and_day(phone: PhoneStore, garden: str, clock: SetClock) -> None:
    with_weather(phone)
    at(clock, JUNE)
    text = timing_text(phone, "2026")
    assert (
        text.startswith("Timing of the season 2026, as known on 2026-06-10\n") and "\nLower garden\n" in text
    )
    clock_line = garden_timings(phone)[garden].clock(Clock.SEASON)
    assert clock_line is not None and together(f"{clock_line.low:.1f} °C-days") in text


def test_the_store_and_the_bare_entries_tell_the_same(
    phone: PhoneStore, garden: str, trap: str, clock: SetClock
) -> None:
    with_weather(phone)
    at(clock, MAY)
    for day, moths in ((7, 0), (10, 1), (14, 4)):
        phone.record(
            "trap_visit", {"trap": trap, "when": f"2026-05-{day:02d}", "state": "counted", "moths": moths}
        )
    set_timing(phone, garden, rule=Rule.TOTAL)
    entries = phone.history(limit=10_000)
    for on in (MAY, JUNE):
        from_bare = season_timing(from_entries(entries, "2026"), on)
        assert season_timing_of(phone, "2026", on).model_dump_json() == from_bare.model_dump_json()


def test_a_century_of_a_station_is_kept_and_slows_nothing(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    """Days before the years that a projection uses change nothing, and are not read."""
    with_weather(phone)
    at(clock, MAY)
    before = season_timing_of(phone, "2026")
    old = "".join(f"{year}-06-{day:02d},12,30\n" for year in range(1970, 2010) for day in range(1, 29))
    assert TemperatureImport(phone, f"date,min_C,max_C\n{old}".encode()).record() == 40 * 28
    assert season_timing_of(phone, "2026") == before
    read = phone.few.timing_ground("2026").readings[garden]
    assert min(reading.day for reading in read) == date(2026, 1, 1)


def test_every_rule_that_looks_at_traps_is_offered_with_its_source() -> None:
    offered = {choice.rule: choice for choice in rule_choices()}
    assert set(offered) == set(Rule)
    assert all(offered[rule].source for rule in (Rule.IN_A_ROW, Rule.TOTAL, Rule.MEAN))

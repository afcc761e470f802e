"""The timing of a garden from its records: totals, flight, bands; north and south; what is missing is said.

Totals are checked against the sum of the same public series by the numbers of its own days (single sine, 10 / 31.1 °C).
"""

from datetime import date, timedelta

import pytest

from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.degree_days import to_fahrenheit
from shared_models.calculations.forecast import Basis
from shared_models.calculations.heat_sums import Extremes, days_of, heat_sum
from shared_models.language import together
from shared_models.reference.published_events import Clock
from shared_models.timing.parts import DaySpan, EventBand, GardenTiming
from shared_models.timing_text import timing_as_text
from shared_models.timing_words import next_event
from tests.shared_models.calculations.seattle import seattle_days
from tests.shared_models.timing.gardens import TimedGarden, seattle_of

JUNE = date(2014, 6, 10)


@pytest.fixture
def garden() -> TimedGarden:
    return TimedGarden()


def total(timing: GardenTiming, clock: Clock = Clock.SEASON) -> tuple[float, float]:
    found = timing.clock(clock)
    assert found is not None
    return found.low, found.high


def event(timing: GardenTiming, key: str, clock: Clock) -> EventBand:
    found = timing.clock(clock)
    assert found is not None
    return next(one for one in found.events if one.key == key)


# ---------------------------------------------------------------- totals
def test_the_season_total_is_that_of_the_days_themselves(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    timing = garden.timing("2014", JUNE)
    wanted = heat_sum(seattle_days(), date(2014, 1, 1), JUNE).total
    assert total(timing) == pytest.approx((wanted, wanted), abs=1e-6)
    assert timing.until == "2014-06-10" and timing.clocks[0].missing_days == 0


def test_the_same_days_in_fahrenheit_give_the_same_total(garden: TimedGarden):
    fahrenheit = TimedGarden()
    days = seattle_of(2014)
    garden.weather(days)
    for day, told in days.items():
        fahrenheit.day(day, to_fahrenheit(told.minimum), to_fahrenheit(told.maximum), "F")
    for one in (date(2014, 6, 10), date(2014, 12, 31)):
        celsius, other = total(garden.timing("2014", one)), total(fahrenheit.timing("2014", one))
        assert celsius == pytest.approx(other, abs=0.01)


def test_a_day_typed_in_the_other_unit_in_between_counts_the_same(garden: TimedGarden):
    mixed = TimedGarden()
    odd = date(2014, 5, 20)
    garden.weather(seattle_of(2014))
    mixed.weather(seattle_of(2014), without=[odd])
    told = seattle_days()[odd]
    mixed.day(odd, to_fahrenheit(told.minimum), to_fahrenheit(told.maximum), "F")
    assert total(mixed.timing("2014", JUNE)) == pytest.approx(total(garden.timing("2014", JUNE)), abs=1e-4)


def test_a_gap_of_a_week_is_named_and_makes_a_least_total(garden: TimedGarden):
    gap = days_of(date(2014, 5, 3), date(2014, 5, 9))
    garden.weather(seattle_of(2014), without=gap)
    timing = garden.timing("2014", JUNE)
    (clock,) = timing.clocks
    assert clock.missing == [DaySpan(first="2014-05-03", last="2014-05-09")] and clock.missing_days == 7
    text = timing_as_text(garden.season("2014", JUNE))
    assert "Incomplete: 7 days are missing (2014-05-03 to 2014-05-09)" in text


def test_a_gap_is_filled_on_request_and_stays_marked(garden: TimedGarden):
    gap = days_of(date(2014, 5, 3), date(2014, 5, 4))
    garden.weather(seattle_of(2014), without=gap)
    garden.setting("2014", fill="interpolate")
    (clock,) = garden.timing("2014", JUNE).clocks
    assert clock.missing_days == 0 and clock.filled == [DaySpan(first="2014-05-03", last="2014-05-04")]


def test_days_that_are_not_told_up_to_the_day_asked_about_are_no_gap_and_are_said(garden: TimedGarden):
    garden.weather({day: told for day, told in seattle_of(2014).items() if day <= date(2014, 6, 1)})
    timing = garden.timing("2014", JUNE)
    assert timing.until == "2014-06-01" and timing.clocks[0].missing_days == 0
    assert "None are known since 2014-06-01." in timing_as_text(garden.season("2014", JUNE))


def test_a_change_of_station_in_mid_season_is_shown(garden: TimedGarden):
    days = seattle_of(2014)
    change = date(2014, 4, 1)
    garden.weather({day: told for day, told in days.items() if day < change}, origin="Station A")
    garden.weather({day: told for day, told in days.items() if day >= change}, origin="Station B")
    timing = garden.timing("2014", JUNE)
    assert [(one.source, one.first, one.last) for one in timing.sources] == [
        ("Station A", "2014-01-01", "2014-03-31"),
        ("Station B", "2014-04-01", "2014-06-10"),
    ]


def test_a_day_entered_by_two_people_is_used_once_and_the_clash_is_shown(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    garden.day(date(2014, 6, 1), 8.0, 30.0)
    timing = garden.timing("2014", JUNE)
    (clash,) = timing.clashes
    first = seattle_days()[date(2014, 6, 1)]
    assert clash.day == "2014-06-01" and clash.highs == [30.0, first.maximum]
    once = seattle_days() | {date(2014, 6, 1): Extremes(8.0, 30.0)}
    assert total(timing)[0] == pytest.approx(heat_sum(once, date(2014, 1, 1), JUNE).total, abs=1e-6)


def test_a_leap_day_is_counted_and_missed_like_any_other(garden: TimedGarden):
    leap = date(2012, 2, 29)
    garden.weather(seattle_of(2012), without=[leap])
    assert garden.timing("2012", date(2012, 5, 1)).clocks[0].missing == [
        DaySpan(first="2012-02-29", last="2012-02-29")
    ]


def test_in_the_south_the_season_runs_over_new_year(garden: TimedGarden):
    """The real series half a year later: July is January, and the total of the season is that of the year."""
    south = TimedGarden("south")
    shift = date(2014, 7, 1) - date(2014, 1, 1)
    south.weather(seattle_of(2014), later=shift)
    garden.weather(seattle_of(2014))
    timing = south.timing("2014/15", JUNE + shift)
    assert timing.clocks[0].first_start == "2014-07-01"
    assert total(timing) == pytest.approx(total(garden.timing("2014", JUNE)), abs=1e-6)
    assert south.season("2014", JUNE).gardens == []


def test_without_temperatures_nothing_is_counted(garden: TimedGarden):
    timing = garden.timing("2014", JUNE)
    assert timing.until is None and timing.clocks == []
    assert "No temperatures of this season yet" in timing_as_text(garden.season("2014", JUNE))


def test_what_comes_after_the_day_is_not_looked_at(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    cut = TimedGarden()
    cut.weather({day: told for day, told in seattle_of(2014).items() if day <= JUNE})
    assert garden.timing("2014", JUNE).clocks == cut.timing("2014", JUNE).clocks


# ---------------------------------------------------------------- the flight
def test_without_traps_the_season_clock_runs_alone(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    timing = garden.timing("2014", JUNE)
    assert (timing.flight.rule, timing.flight.chosen) == (Rule.NONE, False)
    assert [one.clock for one in timing.clocks] == [Clock.SEASON]


def test_a_trap_that_hangs_and_was_not_counted_yet_asks_for_a_biofix_that_is_not_known(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    garden.trap()
    flight = garden.timing("2014", JUNE).flight
    assert (flight.rule, flight.state, flight.chosen) == (Rule.TOTAL, State.NO_TRAP, False)
    assert "Biofix: not known, no trap was counted" in timing_as_text(garden.season("2014", JUNE))


def test_a_trap_that_was_only_found_lost_leaves_the_beginning_not_known(garden: TimedGarden):
    trap = garden.trap()
    garden.makes("trap_visit", trap=trap, when="2014-05-04", state="lost")
    assert garden.timing("2014", JUNE).flight.state is State.NOT_KNOWN


def test_biofix_is_an_interval_that_widens_the_bands(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    trap = garden.trap()
    garden.counts(trap, date(2014, 4, 20), 4, 0, 0, 1, 0, 1, 2)
    timing = garden.timing("2014", JUNE)
    assert (timing.flight.state, timing.flight.first, timing.flight.last) == (
        State.MET,
        "2014-05-06",
        "2014-05-10",
    )
    assert [(one.trap, one.day, one.catch) for one in timing.flight.visits] == [
        ("T1", "2014-04-28", 1),
        ("T1", "2014-05-06", 1),
        ("T1", "2014-05-10", 2),
    ]
    low, high = total(timing, Clock.BIOFIX)
    assert low == pytest.approx(heat_sum(seattle_days(), date(2014, 5, 10), JUNE).total, abs=1e-6)
    assert high == pytest.approx(heat_sum(seattle_days(), date(2014, 5, 6), JUNE).total, abs=1e-6)
    assert [one.clock for one in timing.clocks] == [Clock.SEASON, Clock.BIOFIX]


def test_a_gap_in_the_visits_reads_not_known_and_starts_no_clock(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    trap = garden.trap()
    garden.counts(trap, date(2014, 4, 20), 20, 0, 5)
    timing = garden.timing("2014", JUNE)
    assert timing.flight.state is State.NOT_KNOWN and timing.clock(Clock.BIOFIX) is None
    assert "Biofix: not known" in timing_as_text(garden.season("2014", JUNE))


def test_what_a_garden_says_goes_before_its_group_and_holds_in_later_seasons(garden: TimedGarden):
    trap = garden.trap()
    garden.counts(trap, date(2014, 5, 1), 3, 0, 3, 0)
    garden.makes("season_setting", season="2013", rule="mean", moths=9, upper_c=30)
    assert garden.timing("2014", JUNE).flight.rule is Rule.MEAN
    garden.setting("2013", rule="total", moths=3)
    timing = garden.timing("2014", JUNE)
    assert (timing.flight.rule, timing.flight.chosen, timing.flight.wanted) == (Rule.TOTAL, True, 3)
    assert timing.reckoned.upper == 30 and timing.flight.state is State.MET
    garden.setting("2015", rule="none")
    assert garden.timing("2014", JUNE).flight.rule is Rule.TOTAL


def test_a_day_set_by_hand_holds_for_its_season_only(garden: TimedGarden):
    garden.weather(seattle_of(2014, 2015))
    garden.setting("2014", rule="by_hand", biofix="2014-05-01/2014-05-03")
    timing = garden.timing("2014", JUNE)
    assert (timing.flight.first, timing.flight.last) == ("2014-05-01", "2014-05-03")
    later = garden.timing("2015", date(2015, 6, 10)).flight
    assert (later.rule, later.state) == (Rule.BY_HAND, State.NOT_MET)


def test_a_catch_belongs_to_the_garden_where_the_trap_hung(garden: TimedGarden):
    trap = garden.trap(since=date(2014, 5, 1))
    other = garden.makes("garden", name="Vale", hemisphere="north").rec
    garden.counts(trap, date(2014, 5, 1), 3, 0, 9)
    garden.makes("placement", trap=trap, garden=other, from_day="2014-05-04")
    garden.count(trap, date(2014, 5, 8), 9)
    flights = {one.garden: one.flight for one in garden.season("2014", JUNE).gardens}
    assert flights[garden.garden.rec].last == "2014-05-04"
    assert [one.day for one in flights[other].visits] == ["2014-05-08"]


def test_the_rule_of_three_days_asks_for_the_temperature_at_sunset(garden: TimedGarden):
    garden.setting("2014", rule="in_a_row")
    trap = garden.trap()
    garden.counts(trap, date(2014, 5, 1), 1, 0, 1, 1, 1)
    for day in days_of(date(2014, 4, 25), date(2014, 5, 4)):
        garden.day(day, 5, 15)
    cool = garden.timing("2014", date(2014, 5, 4)).flight
    assert cool.state is State.NOT_MET and "2014-05-02" in cool.cool
    warm = TimedGarden()
    warm.setting("2014", rule="in_a_row")
    trap = warm.trap()
    warm.counts(trap, date(2014, 5, 1), 1, 0, 1, 1, 1)
    warm.day(date(2014, 5, 2), 8, 25, dusk=18)
    met = warm.timing("2014", date(2014, 5, 4)).flight
    assert (met.state, met.first, met.last) == (State.MET, "2014-05-01", "2014-05-02")
    warm.entries.pop()
    missing = warm.timing("2014", date(2014, 5, 4)).flight
    assert missing.state is State.NOT_KNOWN and "2014-05-02" in missing.dusk_missing


# ---------------------------------------------------------------- what comes next
def test_an_event_is_looked_for_on_its_own_clock_only(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    garden.setting("2014", rule="by_hand", biofix="2014-05-05")
    timing = garden.timing("2014", date(2014, 12, 1))
    season, biofix = event(timing, "first_hatch", Clock.SEASON), event(timing, "first_hatch", Clock.BIOFIX)
    first = date(2014, 1, 1)
    day = next(day for day in days_of(first, JUNE) if heat_sum(seattle_days(), first, day).total >= 425 / 1.8)
    assert (season.basis, season.earliest, season.latest) == (Basis.REACHED, str(day), str(day))
    first = date(2014, 5, 5)
    end = date(2014, 9, 1)
    day = next(day for day in days_of(first, end) if heat_sum(seattle_days(), first, day).total >= 250 / 1.8)
    assert (biofix.earliest, biofix.latest) == (str(day), str(day))


def test_figures_from_memory_never_move_a_published_band_and_are_labelled(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    garden.setting("2014", rule="by_hand", biofix="2014-05-05")
    timing = garden.timing("2014", JUNE)
    hatch = event(timing, "first_hatch", Clock.BIOFIX)
    assert not hatch.unchecked and hatch.low == hatch.high == pytest.approx(250 / 1.8)
    assert min(one.low for one in hatch.figures if one.unchecked) == pytest.approx(220 / 1.8)
    flight = event(timing, "second_flight", Clock.BIOFIX)
    assert flight.unchecked
    text = timing_as_text(garden.season("2014", JUNE))
    assert together("second flight begins (unchecked, 589 °C-days, 1060 °F-days)") in text
    assert together("Unchecked, quoted from memory: 122 to 139 °C-days, 220 to 250 °F-days; ") in text


def test_the_next_event_is_a_published_one_that_was_not_reached(garden: TimedGarden):
    garden.weather(seattle_of(2012, 2013, 2014))
    timing = garden.timing("2014", date(2014, 4, 20))
    coming = next_event(timing)
    assert coming is not None and coming.key == "first_moths" and coming.basis is Basis.OWN_YEARS
    assert coming.years == [2012, 2013] and coming.earliest is not None and coming.latest is not None
    assert coming.earliest <= "2014-04-20" < coming.latest < "2014-05-25"  # it may have begun


def test_without_earlier_years_the_last_fortnight_is_used_and_said(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    band = event(garden.timing("2014", date(2014, 5, 20)), "first_hatch", Clock.SEASON)
    assert band.basis is Basis.LAST_DAYS
    assert "From the pace of the last fortnight." in timing_as_text(garden.season("2014", date(2014, 5, 20)))


@pytest.mark.parametrize("day", [date(2014, 3, 1), JUNE, date(2014, 10, 1)])
def test_nothing_says_safe_or_over(garden: TimedGarden, day: date):
    garden.weather(seattle_of(2013, 2014))
    trap = garden.trap()
    garden.counts(trap, date(2014, 4, 20), 4, 0, 0, 1, 0, 1, 2)
    text = timing_as_text(garden.season("2014", day)).casefold()
    words = set(text.replace(",", " ").replace(".", " ").split())
    assert not words & {"safe", "safely", "over", "danger"}
    assert together("single-sine, horizontal cutoff, thresholds 10 and 31.1 °C").casefold() in text


def test_the_order_of_the_entries_changes_nothing(garden: TimedGarden):
    garden.weather(seattle_of(2014))
    trap = garden.trap()
    garden.counts(trap, date(2014, 4, 20), 4, 0, 0, 1, 0, 1, 2)
    before = garden.season("2014", JUNE).model_dump_json()
    garden.entries.reverse()
    assert garden.season("2014", JUNE).model_dump_json() == before


# ---------------------------------------------------------------- bloom and frost
def test_bloom_of_two_cultivars_overlaps_by_the_days_that_both_were_open(garden: TimedGarden):
    for cultivar, days in (("Early Red", (20, 24, 30)), ("Late Gold", (26, 29, None))):
        for bbch, day in zip(("60", "65", "67"), days, strict=True):
            if day:
                garden.makes(
                    "stage", garden=garden.garden.rec, cultivar=cultivar, bbch=bbch, when=f"2014-04-{day}"
                )
    open_end = garden.timing("2014", JUNE)
    assert open_end.overlaps[0].days is None
    garden.makes("stage", garden=garden.garden.rec, cultivar="Late Gold", bbch="69", when="2014-05-06")
    timing = garden.timing("2014", JUNE)
    assert [(one.name, one.first, one.full, one.petal_fall) for one in timing.bloom] == [
        ("Early Red", "2014-04-20", "2014-04-24", "2014-04-30"),
        ("Late Gold", "2014-04-26", "2014-04-29", "2014-05-06"),
    ]
    assert timing.overlaps[0].days == 4  # 26, 27, 28, 29 April


def test_a_cold_night_stands_beside_the_published_figures_of_its_stage(garden: TimedGarden):
    """Apple in full bloom: −2.2 °C (28 °F) kills a tenth, −3.9 °C (25 °F) nine tenths (Washington State University)."""
    tree = garden.makes("tree", label="1", garden=garden.garden.rec, species="MABSD").rec
    garden.makes("stage", tree=tree, bbch="65", when="2014-04-20")
    for n, lowest in enumerate((-2.1, -2.2, -4.0)):
        garden.day(date(2014, 4, 21) + timedelta(n), lowest, 9)
    frost = garden.timing("2014", JUNE).frost
    assert [(one.night, one.lowest, one.kills_10, one.kills_90) for one in frost] == [
        ("2014-04-22", -2.2, -2.2, -3.9),
        ("2014-04-23", -4.0, -2.2, -3.9),
    ]
    assert together("Half an hour of -2.2 °C kills a tenth") in timing_as_text(garden.season("2014", JUNE))


def test_a_stage_that_was_noted_long_ago_says_nothing_of_a_night(garden: TimedGarden):
    tree = garden.makes("tree", label="1", garden=garden.garden.rec, species="MABSD").rec
    garden.makes("stage", tree=tree, bbch="65", when="2014-04-20")
    garden.day(date(2014, 5, 25), -5, 9)
    assert garden.timing("2014", JUNE).frost == []

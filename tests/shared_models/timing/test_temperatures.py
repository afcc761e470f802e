"""One reading for each day of a garden: units, reading habits, sources, clashes, what is filled."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.heat_sums import Extremes, Filled, heat_sum
from shared_models.identifiers import derived_id
from shared_models.records.jobs import DayTemperature
from shared_models.timing.temperatures import GardenTemperatures, Sources, garden_temperatures
from shared_models.vocabulary import Fill
from tests.strategies import law

GARDEN = derived_id(1, "garden")
FIRST = date(2026, 5, 1)


def typed(day: int, low: float, high: float, unit: str = "C", **more: Any) -> DayTemperature:
    """One reading of a day of May, entered that day."""
    entered = more.pop("entered", f"2026-05-{day:02d}T08:00:00+02:00")
    rec = derived_id(day, str(low), str(high), unit, entered, str(more))
    said = {"garden": GARDEN, "when": f"2026-05-{day:02d}", "lowest": low, "highest": high, "unit": unit}
    return DayTemperature.model_validate({**said, **more, "rec": rec, "by": GARDEN, "entered": entered})


def day(number: int) -> date:
    """A day of May."""
    return FIRST + timedelta(number - 1)


def extremes(found: GardenTemperatures) -> dict[int, tuple[float, float]]:
    """Lowest and highest by day of May, to a tenth."""
    return {one.day: (round(low, 1), round(high, 1)) for one, (low, high, _) in found.days.items()}


def test_fahrenheit_typed_in_a_group_of_celsius_is_the_same_day():
    celsius = garden_temperatures([typed(1, 10, 25), typed(2, 8, 20)])
    mixed = garden_temperatures([typed(1, 50, 77, "F"), typed(2, 8, 20)])
    first, last = day(1), day(2)
    assert heat_sum(mixed.days, first, last).total == pytest.approx(
        heat_sum(celsius.days, first, last).total, abs=0.01
    )


def test_the_highest_of_a_morning_reading_belongs_to_the_day_before():
    read = [typed(n, 8 + n, 20 + n, habit="morning") for n in (1, 2, 3)]
    assert extremes(garden_temperatures(read)) == {1: (9, 22), 2: (10, 23)}


def test_the_highest_of_an_evening_reading_belongs_to_its_day():
    assert extremes(garden_temperatures([typed(1, 9, 22, habit="evening")])) == {1: (9, 22)}


def test_a_day_entered_by_two_people_is_used_once_and_the_clash_is_shown():
    earlier = typed(1, 9, 22)
    later = typed(1, 10, 25, entered="2026-05-02T09:00:00+02:00")
    found = garden_temperatures([earlier, later])
    assert extremes(found) == {1: (10, 25)}
    (clash,) = found.clashes
    assert clash.day == day(1) and clash.records == (later.rec, earlier.rec) and clash.lows == (10, 9)


def test_two_people_who_say_the_same_do_not_clash_whatever_their_unit():
    found = garden_temperatures([typed(1, 10, 25), typed(1, 50, 77, "F")])
    assert found.clashes == () and extremes(found) == {1: (10, 25)}


def test_the_own_thermometer_goes_before_a_station_and_a_named_source_before_all():
    read = [typed(1, 10, 25), typed(1, 7, 19, origin="station A"), typed(2, 6, 18, origin="station A")]
    assert extremes(garden_temperatures(read)) == {1: (10, 25), 2: (6, 18)}
    assert extremes(garden_temperatures(read, Sources(first="station A"))) == {1: (7, 19), 2: (6, 18)}
    assert garden_temperatures(read).clashes == ()


def test_a_change_of_station_in_the_season_shows_as_spans():
    read = [typed(n, 8, 20, origin="station A" if n < 4 else "station B") for n in range(1, 7)]
    found = garden_temperatures(read)
    assert [(span.source, span.first.day, span.last.day) for span in found.spans(day(1), day(31))] == [
        ("station A", 1, 3),
        ("station B", 4, 6),
    ]
    assert heat_sum(found.days, day(1), day(6)).complete


def test_a_second_source_fills_only_on_request_and_is_marked():
    read = [typed(1, 10, 25), typed(3, 10, 25), typed(2, 6, 18, origin="far"), typed(3, 1, 2, origin="far")]
    second = Sources(second="far")
    assert extremes(garden_temperatures(read, second)) == {1: (10, 25), 3: (10, 25)}
    filled = garden_temperatures(read, Sources(second="far", fill=Fill.SECOND_SOURCE))
    assert filled.days[day(2)] == Extremes(6, 18, Filled.SECOND_SOURCE)
    assert filled.days[day(3)].filled is Filled.MEASURED


def test_a_second_source_goes_on_where_the_own_thermometer_ended():
    read = [typed(1, 10, 25), typed(2, 6, 18, origin="far"), typed(3, 6, 18, origin="far")]
    filled = garden_temperatures(read, Sources(second="far", fill=Fill.BOTH))
    assert extremes(filled) == {1: (10, 25), 2: (6, 18), 3: (6, 18)}


def test_short_gaps_are_interpolated_on_request_and_a_week_is_not():
    read = [typed(1, 10, 24), typed(3, 12, 28), typed(11, 8, 20)]
    filled = garden_temperatures(read, Sources(fill=Fill.INTERPOLATE))
    assert filled.days[day(2)] == Extremes(11, 26, Filled.INTERPOLATED)
    assert day(6) not in filled.days
    assert day(2) not in garden_temperatures(read).days


def test_what_cannot_be_is_kept_out_and_named():
    wrong, hot = typed(1, 20, 10), typed(2, 20, 75)
    found = garden_temperatures([wrong, hot, typed(3, 8, 20)])
    assert set(found.unusable) == {wrong.rec, hot.rec} and extremes(found) == {3: (8, 20)}


def test_typing_doubts_are_sentences():
    assert "was it °F?" in typed(1, 50, 77).doubts()[0].sentence
    assert "was it °C?" in typed(1, 8, 21, "F").doubts()[0].sentence
    assert "above the highest" in typed(1, 20, 10).doubts()[0].sentence
    assert "unusually hot" in typed(1, 60, 130, "F").doubts()[0].sentence
    assert typed(1, 50, 77, "F").doubts() == [] and typed(1, -12, -3, "C").doubts() == []


def test_the_temperature_at_sunset_is_kept_in_celsius():
    found = garden_temperatures([typed(1, 50, 77, "F", dusk=62)])
    assert found.dusk[day(1)] == pytest.approx(16.67, abs=0.01)


def test_no_record_gives_no_day():
    found = garden_temperatures([], Sources(second="far", fill=Fill.BOTH))
    assert found.days == {} and found.spans(day(1), day(9)) == []


readings = st.builds(
    lambda number, low, more, unit, habit, origin, hour: typed(
        number,
        low,
        low + more,
        unit,
        habit=habit,
        origin=origin,
        entered=f"2026-05-30T{hour:02d}:00:00+02:00",
    ),
    st.integers(1, 12),
    st.integers(0, 20),
    st.integers(0, 15),
    st.sampled_from("CF"),
    st.sampled_from([None, "morning", "evening"]),
    st.sampled_from([None, "A", "B"]),
    st.integers(0, 23),
)


@law
@given(read=st.lists(readings, max_size=20), fill=st.sampled_from(Fill), shuffled=st.randoms())
def test_the_order_in_which_readings_arrive_changes_nothing(read, fill, shuffled):
    other = list(read)
    shuffled.shuffle(other)
    sources = Sources(second="B", fill=fill)
    found = garden_temperatures(read, sources)
    assert found == garden_temperatures(other, sources)
    assert all(low <= high for low, high, _ in found.days.values())


@law
@given(read=st.lists(readings, max_size=12, unique_by=lambda reading: reading.when))
def test_where_nothing_is_to_be_chosen_the_choice_is_the_same(read):
    assert garden_temperatures(read) == garden_temperatures(
        read, Sources(first="a source that none of them has")
    )

"""Seasons north and south: where each begins and ends, and which key a day has."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.seasons import Hemisphere, is_season_key, season_named, season_of
from tests.strategies import law

NORTH, SOUTH = Hemisphere.NORTH, Hemisphere.SOUTH


@pytest.mark.parametrize(
    ("day", "hemisphere", "key"),
    [
        (date(2026, 1, 1), NORTH, "2026"),
        (date(2026, 12, 31), NORTH, "2026"),
        (date(2025, 12, 31), NORTH, "2025"),
        (date(2026, 6, 30), SOUTH, "2025/26"),
        (date(2026, 7, 1), SOUTH, "2026/27"),
        (date(2027, 1, 1), SOUTH, "2026/27"),
        (date(2024, 2, 29), NORTH, "2024"),
        (date(2024, 2, 29), SOUTH, "2023/24"),
        (date(1999, 7, 1), SOUTH, "1999/00"),
        (date(2000, 6, 30), SOUTH, "1999/00"),
    ],
)
def test_a_day_has_its_season(day, hemisphere, key):
    assert season_of(day, hemisphere) == key


@law
@given(st.dates(date(1950, 1, 1), date(2100, 12, 31)), st.sampled_from(Hemisphere))
def test_the_season_of_a_day_holds_it_and_its_neighbours_do_not(day, hemisphere):
    season = season_named(season_of(day, hemisphere))
    assert season.holds(day)
    assert season.hemisphere is hemisphere
    for outside in (season.first_day - timedelta(days=1), season.last_day + timedelta(days=1)):
        assert not season.holds(outside)
        assert season_of(outside, hemisphere) != season.key


@law
@given(st.integers(1900, 2150), st.sampled_from(Hemisphere))
def test_a_season_lasts_a_year_with_its_leap_day(year, hemisphere):
    season = season_named(season_of(date(year, 3, 1), hemisphere))
    days = [
        season.first_day + timedelta(days=n) for n in range((season.last_day - season.first_day).days + 1)
    ]
    leap_days = [day for day in days if (day.month, day.day) == (2, 29)]
    assert len(days) == 365 + len(leap_days)


def test_the_june_drop_ends_in_the_middle_of_summer():
    # Common practice: 1 July in the north, 1 January in the south.
    assert season_named("2026").june_drop_ends == date(2026, 7, 1)
    assert season_named("2026/27").june_drop_ends == date(2027, 1, 1)


@pytest.mark.parametrize(
    "key",
    [
        "",
        "26",
        "20266",
        "2026/26",
        "2026/28",
        "2026-27",
        "2026/2027",
        "2026/27 ",
        "２０２６",
        "0000",
        "9999/00",
    ],
)
def test_what_names_no_season_is_refused_with_both_forms(key):
    assert not is_season_key(key)
    with pytest.raises(ValueError, match="names no season; write 2026 in the north or 2026/27 in the south"):
        season_named(key)

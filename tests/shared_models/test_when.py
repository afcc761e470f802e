"""Moments as people tell them: instants, days, spans, not known; and what is none."""

from datetime import date

import pytest
from hypothesis import given

from shared_models.when import parse_when
from tests.strategies import law
from tests.values import moments


@law
@given(moments)
def test_every_moment_has_its_days_or_is_not_known(text):
    moment = parse_when(text)
    assert moment.text == text
    if text == "unknown":
        assert (moment.first, moment.last, moment.instant, moment.day) == (None, None, None, None)
    else:
        assert moment.first is not None and moment.last is not None and moment.first <= moment.last
        assert moment.first.isoformat() == text[:10]
        assert (moment.day is None) == (moment.first != moment.last)


def test_a_day_has_no_instant():
    assert (parse_when("2026-06-04").day, parse_when("2026-06-04").instant) == (date(2026, 6, 4), None)


def test_a_span_has_no_single_day_unless_both_are_one():
    assert parse_when("2026-06-01/2026-06-05").day is None
    assert parse_when("2026-06-01/2026-06-01").day == date(2026, 6, 1)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-06-04T00:30:00+02:00", date(2026, 6, 4)),  # still 3 June in UTC
        ("2026-06-04T23:30:00-10:00", date(2026, 6, 4)),  # already 5 June in UTC
        ("2026-06-04T12:00:00+14:00", date(2026, 6, 4)),
        ("2026-06-04T12:00:00Z", date(2026, 6, 4)),
    ],
)
def test_the_field_day_is_the_local_date_in_its_own_offset(text, day):
    assert parse_when(text).day == day


def test_the_hour_that_comes_twice_is_told_apart_by_its_offset():
    # Europe/Rome, 25 October 2026: 02:30 summer time comes an hour before 02:30 winter time.
    summer, winter = parse_when("2026-10-25T02:30:00+02:00"), parse_when("2026-10-25T02:30:00+01:00")
    assert summer.instant is not None and winter.instant is not None
    assert (winter.instant - summer.instant).total_seconds() == 3600
    assert summer.order < winter.order
    assert summer.day == winter.day


def test_moments_sort_by_field_day_and_then_by_instant():
    texts = [
        "unknown",
        "2026-06-03T23:00:00-11:00",
        "2026-06-04",
        "2026-06-04T00:10:00+12:00",
        "2026-06-04T09:00:00+02:00",
        "2026-06-04T08:30:00+01:00",
        "2026-06-05",
    ]
    backwards = texts[::-1]
    assert sorted(backwards, key=lambda text: parse_when(text).order) == texts


@pytest.mark.parametrize("text", ["2024-02-29", "1950-01-01", "2100-12-31", "2026-06-04T09:00:00.5+02:00"])
def test_leap_days_and_the_first_and_last_days_are_moments(text):
    assert parse_when(text).text == text


NO_MOMENTS = [
    "",
    "T",
    "/",
    "//",
    "today",
    "2026",
    "2026-6-4",
    "2026-13-01",
    "2023-02-29",
    "20260604",
    "2026-W23-4",
    "2026-155",
    "04.06.2026",
    "2026-06-04 14:02+02:00",
    "2026-06-04T14:02",
    "2026-06-04T25:00+02:00",
    "2026-06-04T14:02+25:00",
    "20260604T1402+0200",
    "2026-W23-4T14:02+02:00",
    "2026-06-05/2026-06-04",
    "2026-06-04/",
    "2026-06-04/2026-06-05/2026-06-06",
    "2026-06-04T08:00+02:00/2026-06-05",
    "２０２６-06-04",
    "2026-06-04\n",
    "Unknown",
]


@pytest.mark.parametrize("text", NO_MOMENTS, ids=repr)
def test_what_is_no_moment_is_refused_with_a_sentence_that_says_how(text):
    with pytest.raises(ValueError, match="is no moment; give a day") as refused:
        parse_when(text)
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize(
    "text", ["1900-06-04", "2101-01-01", "1949-12-31/1950-01-02", "0001-01-01T00:00+14:00"]
)
def test_dates_outside_the_bounds_are_refused_with_the_bounds(text):
    with pytest.raises(ValueError, match="lies outside 1950 to 2100; correct the date"):
        parse_when(text)

"""*When?*, over changes of the clocks, in north and south."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import (
    NOT_KNOWN,
    Told,
    between_days,
    earlier_today,
    now,
    on_day,
    season_of_garden,
    season_or_ask,
)
from shared_models.errors import BadInputError
from shared_models.seasons import Hemisphere
from tests.mobile.phones import SetClock

ROME = ZoneInfo("Europe/Rome")


def test_now_is_the_time_of_the_garden_with_its_offset(phone: PhoneStore) -> None:
    assert now(phone) == "2026-09-12T10:00:00+02:00"


def test_now_stays_the_garden_s_time_when_the_device_believes_in_another_zone(
    phone: PhoneStore, clock: SetClock
) -> None:
    clock.time = datetime(2026, 9, 12, 1, 0, tzinfo=ZoneInfo("America/Los_Angeles"))
    assert now(phone) == "2026-09-12T10:00:00+02:00"


def test_earlier_today_carries_the_offset_of_that_hour_when_the_clocks_change(
    phone: PhoneStore, clock: SetClock
) -> None:
    clock.time = datetime(2026, 3, 29, 9, 0, tzinfo=ROME)  # forward at 02:00
    assert earlier_today(phone, time(1, 30)) == "2026-03-29T01:30:00+01:00"
    assert earlier_today(phone, time(8, 30)) == "2026-03-29T08:30:00+02:00"
    assert earlier_today(phone, time(2, 30)) == "2026-03-29T03:30:00+02:00"  # an hour that did not exist
    clock.time = datetime(2026, 10, 25, 9, 0, tzinfo=ROME)  # back at 03:00
    assert earlier_today(phone, time(2, 30)) == "2026-10-25T02:30:00+02:00"  # the first of the two
    assert earlier_today(phone, time(8, 30)) == "2026-10-25T08:30:00+01:00"


def test_a_time_that_is_still_to_come_is_refused(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="11:00 is still to come") as refused:
        earlier_today(phone, time(11, 0))
    assert refused.value.field == "when"


def test_days_are_written_as_days(phone: PhoneStore) -> None:
    assert on_day(phone, date(2026, 8, 29)) == "2026-08-29"
    assert between_days(phone, date(2026, 8, 29), date(2026, 9, 2)) == "2026-08-29/2026-09-02"
    assert between_days(phone, date(2026, 9, 2), date(2026, 9, 2)) == "2026-09-02"


@pytest.mark.parametrize("when", ["2026-09-13", "2026-09-10/2026-09-14", "2026-09-12T12:00:00+02:00"])
def test_what_is_recorded_has_happened(phone: PhoneStore, when: str) -> None:
    with pytest.raises(BadInputError, match="still to come"):
        Told(when=when).fields(phone)


def test_a_clock_that_is_a_few_minutes_ahead_is_believed(phone: PhoneStore) -> None:
    assert Told(when="2026-09-12T10:05:00+02:00").fields(phone)["when"] == "2026-09-12T10:05:00+02:00"


def test_days_the_wrong_way_round_are_refused(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="give the earlier day first"):
        between_days(phone, date(2026, 9, 3), date(2026, 9, 2))


def test_what_is_no_moment_or_season_is_refused(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="is no moment"):
        Told(when="last Tuesday").fields(phone)
    with pytest.raises(BadInputError, match="names no season") as refused:
        Told(season="26").fields(phone)
    assert refused.value.field == "season"


def test_nothing_said_means_now_by_whoever_records_it(phone: PhoneStore) -> None:
    assert Told().fields(phone) == {"when": "2026-09-12T10:00:00+02:00"}
    assert Told(when=NOT_KNOWN, season="2025").fields(phone) == {"when": "unknown", "season": "2025"}


def test_the_season_follows_from_the_garden_s_half_of_the_earth(phone: PhoneStore, garden: str) -> None:
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    assert season_of_garden(phone, garden) == "2026"
    assert season_of_garden(phone, south) == "2026/27"
    assert season_of_garden(phone, south, "2026-06-30") == "2025/26"


def test_a_span_over_two_seasons_belongs_to_none_until_a_person_chooses(
    phone: PhoneStore, garden: str
) -> None:
    assert season_of_garden(phone, garden, "2025-12-30/2026-01-02") is None
    with pytest.raises(BadInputError, match="choose the season"):
        season_or_ask(phone, garden, NOT_KNOWN, None)
    assert season_or_ask(phone, garden, NOT_KNOWN, "2025") == "2025"


@pytest.mark.parametrize("year", [1970, 2099])
def test_a_clock_that_lost_its_date_records_not_known_and_refuses_no_day(
    phone: PhoneStore, clock: SetClock, year: int
) -> None:
    clock.time = datetime(year, 1, 1, 1, 0, tzinfo=ROME)
    assert Told().fields(phone) == {"when": NOT_KNOWN}
    assert Told(on_day(phone, date(2026, 9, 12))).fields(phone) == {"when": "2026-09-12"}

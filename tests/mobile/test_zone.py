"""The device's time zone, by its name."""

from zoneinfo import available_timezones

import pytest

from mobile.device.zone import zone_here


def test_a_zone_that_is_named_in_the_environment_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    assert zone_here() == "Pacific/Auckland"


def test_what_is_told_is_a_zone_or_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Middle/Earth")
    assert zone_here() in {"", *available_timezones()}

"""Temperatures typed on the phone, and the total that follows from them."""

from datetime import date, timedelta
from typing import Literal

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.day_temperatures import note_day, total_in_words, total_since
from shared_models.calculations.degree_days import to_celsius
from shared_models.calculations.heat_sums import Reckoning
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.jobs import DayTemperature

# Seven days [°F] and their total of 84.538 °F-days over 50 and 88 °F, computed by numeric integration.
WEEK = [(44, 66), (48, 72), (52, 79), (55, 91), (41, 58), (38, 55), (60, 95)]
FIRST, LAST = date(2026, 5, 1), date(2026, 5, 7)
IN_88 = Reckoning(upper=to_celsius(88))


def type_week(phone: PhoneStore, garden: str, unit: Literal["C", "F"], without: int | None = None) -> None:
    """The seven days, each typed in one unit."""
    for n, (low, high) in enumerate(WEEK):
        if n != without:
            lowest, highest = (low, high) if unit == "F" else (to_celsius(low), to_celsius(high))
            note_day(phone, garden, FIRST + timedelta(n), lowest, highest, unit)


@pytest.mark.parametrize("unit", ["C", "F"])
def test_a_week_gives_the_same_total_in_either_unit(
    phone: PhoneStore, garden: str, unit: Literal["C", "F"]
) -> None:
    type_week(phone, garden, unit)
    total = total_since(phone, garden, FIRST, LAST, reckoning=IN_88)
    assert total.total * 1.8 == pytest.approx(84.538, abs=0.01) and total.complete


def test_a_total_names_method_thresholds_start_and_missing_days(phone: PhoneStore, garden: str) -> None:
    type_week(phone, garden, "F", without=2)
    words = total_in_words(total_since(phone, garden, FIRST, LAST))
    assert together("single-sine, horizontal cutoff, thresholds 10 and 31.1 °C") in words
    assert "from Friday 1 May to Thursday 7 May" in words
    assert words.endswith("Incomplete: 1 day is missing (Sunday 3 May), so this is a least total.")


def test_a_lowest_above_the_highest_is_refused_and_nothing_is_kept(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError):
        note_day(phone, garden, FIRST, 20, 10, "C")
    assert phone.all(DayTemperature) == []


def test_what_seems_the_other_unit_is_kept_and_questioned(phone: PhoneStore, garden: str) -> None:
    noted = note_day(phone, garden, FIRST, 50, 77, "C")
    assert "was it °F?" in noted.doubts[0].sentence and phone.get(DayTemperature, noted.record)

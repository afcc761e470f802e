"""Importing temperatures on the phone: shown, recorded, and the same record on two phones that meet later."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.day_temperatures import note_day, total_since
from mobile.workflows.import_temperatures import TemperatureImport
from shared_models.calculations.heat_sums import heat_sum
from shared_models.records.jobs import DayTemperature
from tests.mobile.workflows.exchanges import hears
from tests.shared_models.calculations.seattle import FILE, seattle_days

CONTENT = FILE.read_bytes()
YEAR = 2012
TABLE = b"date,min,max\n2026-05-01,5,12\n2026-05-02,6,11\nsoon,6,11\n"


def test_a_table_is_shown_and_then_recorded_without_its_bad_lines(phone: PhoneStore, garden: str) -> None:
    chosen = TemperatureImport(phone, TABLE)
    assert "Line 4, day: “soon” is no day from 1950 to 2100" in chosen.preview()
    assert phone.all(DayTemperature) == []
    assert chosen.record() == 2
    assert {one.when for one in phone.all(DayTemperature)} == {"2026-05-01", "2026-05-02"}


def test_importing_twice_records_nothing(phone: PhoneStore, garden: str) -> None:
    TemperatureImport(phone, TABLE).record()
    waiting = phone.sharing().waiting
    assert TemperatureImport(phone, TABLE).record() == 0 and phone.sharing().waiting == waiting


def test_two_phones_that_import_the_same_table_apart_agree_when_they_meet(
    phone: PhoneStore, neighbour: PhoneStore, garden: str
) -> None:
    hears(neighbour, phone)
    for store in (phone, neighbour):
        TemperatureImport(store, TABLE).record()
    hears(phone, neighbour)
    assert len(phone.all(DayTemperature)) == 2
    assert TemperatureImport(phone, TABLE).record() == 0


def test_a_year_of_a_real_station_gives_the_total_of_its_own_numbers(phone: PhoneStore, garden: str) -> None:
    days = sorted(day for day in seattle_days() if day.year == YEAR)
    head, *lines = CONTENT.splitlines(keepends=True)
    assert TemperatureImport(phone, head + b"".join(lines[: len(days)])).record() == len(days)
    total = total_since(phone, garden, days[0], days[-1])
    assert total.complete
    assert total.total == pytest.approx(heat_sum(seattle_days(), days[0], days[-1]).total, abs=1e-9)


def test_what_was_typed_goes_before_the_table(phone: PhoneStore, garden: str) -> None:
    TemperatureImport(phone, b"date,min,max\n2026-05-01,15,25\n").record()
    note_day(phone, garden, (day := next(iter(seattle_days()))).replace(2026, 5, 1), 10, 20, "C")
    first = day.replace(2026, 5, 1)
    assert total_since(phone, garden, first, first).total == pytest.approx(5.0)

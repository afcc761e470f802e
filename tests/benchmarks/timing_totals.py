"""Degree-day totals of many gardens and years on a server, and the whole timing of one garden's year on a phone.

Both have an allowance in seconds, which is their floor's line: the group's page and Today must not be waited for. Beside
it stands the ratio to a floor that sums a bare sine over the same days and reads nothing.
"""

import math
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import date, timedelta
from functools import partial
from pathlib import Path

from mobile.bootstrap import started
from mobile.settings import Settings as PhoneSettings
from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from server.app import open_services
from server.database import season
from server.database.engine import Database
from server.settings import Settings
from shared_models.calculations.heat_line import HeatLine
from shared_models.calculations.heat_sums import heat_by_day
from shared_models.fold import FoldedRecord
from shared_models.garbage import making_many
from shared_models.identifiers import new_id
from shared_models.records.gardens import Garden
from shared_models.records.jobs import DayTemperature
from shared_models.store import state
from shared_models.timing.garden_timing import season_timing
from shared_models.timing.temperatures import temperatures_of
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Times, Work, at_most, in_turns
from tests.benchmarks.sizes import Sizes

LAST_YEAR = 2025
ALLOWED_TOTALS, ALLOWED_YEAR = (
    1.0,
    0.030,
)  # [s]: all gardens and years on the server; one garden's year on the phone
TOTALS = "totals of {gardens} gardens over {years} years from the server's rows; floor: a bare sine over as many days"
YEAR = "timing of one garden and year from a phone's rows; floor: a bare sine over as many days"
ALLOWED = "the same against what is allowed"
Extremes = tuple[float, float]


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The totals on the server, then the year on the phone."""
    with ExitStack() as open_files:
        services = open_services(Settings(data=folder / "server"))
        open_files.callback(services.database.close)
        group = services.connecting.make_group("Hillside (invented)").id
        _fill(services.database, group, sizes.gardens, sizes.years)
        phone = open_files.enter_context(started(_phone_settings(folder))).store
        _fill_phone(phone)
        days = sizes.gardens * sizes.years * 365
        totals = in_turns(_turns(partial(_bare, days), partial(_totals, services.database, group), rounds))
        year = in_turns(_turns(partial(_bare, 365), partial(_year, phone), 5 * rounds))
    note = TOTALS.format(gardens=sizes.gardens, years=sizes.years)
    return [
        totals.medians("timing_totals", "s", 1, None, note),
        _allowed("timing_totals_allowed", totals, ALLOWED_TOTALS, 1, "s"),
        year.medians("timing_year", "ms", MILLISECONDS, None, YEAR),
        _allowed("timing_year_allowed", year, ALLOWED_YEAR, MILLISECONDS, "ms"),
    ]


def _allowed(name: str, times: Times, seconds: float, scale: float, unit: str) -> Ratio:
    return Times([seconds], times.subject).medians(name, unit, scale, at_most(1), ALLOWED)


def _turns(floor: Work, subject: Work, turns: int) -> Iterator[tuple[Work, Work]]:
    for _ in range(turns):
        yield floor, subject


# ---------------------------------------------------------------- what is measured
@making_many()
def _totals(database: Database, group: str) -> list[float]:
    """The total of every garden and year."""
    with database.writing() as connection:
        ground = season.season_ground(connection, group, str(LAST_YEAR))
    found = []
    for readings in ground.readings.values():
        line = HeatLine(heat_by_day(temperatures_of(readings).days))
        years = {reading.day.year for reading in readings}
        found += [line.sum(date(year, 1, 1), date(year, 12, 31)) for year in years]
    return found


def _year(phone: PhoneStore) -> object:
    return season_timing(phone.few.timing_ground(str(LAST_YEAR)), date(LAST_YEAR, 8, 1))


def _bare(days: int) -> float:
    """A sine over a threshold of 10 °C, day after day, and nothing else."""
    total = 0.0
    for n in range(days):
        low, high = _day(n)
        middle, half = (high + low) / 2, (high - low) / 2
        if low < 10 < high:
            angle = math.asin((10 - middle) / half)
            total += ((middle - 10) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi
        else:
            total += max(0.0, middle - 10)
    return total


# ---------------------------------------------------------------- what is filled in
def _day(n: int) -> Extremes:
    """An invented year: 1 to 9 °C in January, 15 to 27 °C in July."""
    middle = 13 - 8 * math.cos(2 * math.pi * (n % 365) / 365)
    return (round(middle - 6, 1), round(middle + 6, 1))


def _fill(database: Database, group: str, gardens: int, years: int) -> None:
    """State alone, as it stands after folding; pushing so many days is another measure."""
    first = date(LAST_YEAR - years + 1, 1, 1)
    with database.writing() as connection:
        for number in range(gardens):
            garden = new_id()
            state.write(
                connection,
                group,
                [_folded(garden, Garden.kind, {"name": f"Garden {number}", "hemisphere": "north"})],
            )
            state.write(
                connection, group, (_temperature(garden, first + timedelta(n), n) for n in range(365 * years))
            )


def _temperature(garden: str, day: date, n: int) -> FoldedRecord:
    return _folded(new_id(), DayTemperature.kind, _said(garden, day, n))


def _said(garden: str, day: date, n: int) -> dict[str, object]:
    low, high = _day(n)
    return {
        "garden": garden,
        "when": day.isoformat(),
        "lowest": low,
        "highest": high,
        "unit": "C",
        "origin": "station",
    }


def _folded(rec: str, kind: str, fields: dict[str, object]) -> FoldedRecord:
    return FoldedRecord(rec, kind, fields, {}, rec, rec, "2025-01-01T00:00:00+00:00", "UTC", "0" * 16)


def _phone_settings(folder: Path) -> PhoneSettings:
    settings = PhoneSettings(folder / "phone", "phone")
    settings.data.mkdir()
    return settings


def _fill_phone(phone: PhoneStore) -> None:
    phone.begin("Keeper", "Europe/Rome")
    garden = phone.record(Garden.kind, {"name": "Hill (invented)", "hemisphere": "north"})
    days = [date(LAST_YEAR, 1, 1) + timedelta(n) for n in range(365)]
    phone.record_all([Draft(DayTemperature.kind, _said(garden, day, n)) for n, day in enumerate(days)])

"""Four years of two real stations as days and as degree-days, for tests of sums and projections. Knows no rule.

The constants of the projection were set on Seattle; New York took no part in that, so it is what judges them.
"""

import csv
from datetime import date
from functools import cache
from pathlib import Path

from shared_models.calculations.heat_sums import Extremes, heat_by_day

REFERENCE = Path(__file__).parents[2] / "reference"
FILE = REFERENCE / "seattle_daily_2012_2015.csv"
NEW_YORK = REFERENCE / "new_york_daily_2012_2015.csv"
YEARS = (2012, 2013, 2014, 2015)


@cache
def seattle_days() -> dict[date, Extremes]:
    """Lowest and highest temperature of Seattle by day [°C]."""
    return _days(FILE)


@cache
def new_york_days() -> dict[date, Extremes]:
    """The same of New York."""
    return _days(NEW_YORK)


@cache
def seattle_heat() -> dict[date, float]:
    """Degree-days by day [°C·day], single sine, 10 / 31.1 °C."""
    return heat_by_day(seattle_days())


@cache
def new_york_heat() -> dict[date, float]:
    """The same of New York."""
    return heat_by_day(new_york_days())


def _days(path: Path) -> dict[date, Extremes]:
    with path.open(encoding="utf-8", newline="") as file:
        return {
            date.fromisoformat(row["date"]): Extremes(float(row["min_C"]), float(row["max_C"]))
            for row in csv.DictReader(file)
        }

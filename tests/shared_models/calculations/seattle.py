"""Four years of a real station as days and as degree-days, for tests of sums and projections. Knows no rule."""

import csv
from datetime import date
from functools import cache
from pathlib import Path

from shared_models.calculations.heat_sums import Extremes, heat_by_day

FILE = Path(__file__).parents[2] / "reference" / "seattle_daily_2012_2015.csv"
YEARS = (2012, 2013, 2014, 2015)


@cache
def seattle_days() -> dict[date, Extremes]:
    """Lowest and highest temperature by day [°C]."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return {
            date.fromisoformat(row["date"]): Extremes(float(row["min_C"]), float(row["max_C"]))
            for row in csv.DictReader(file)
        }


@cache
def seattle_heat() -> dict[date, float]:
    """Degree-days by day [°C·day], single sine, 10 / 31.1 °C."""
    return heat_by_day(seattle_days())

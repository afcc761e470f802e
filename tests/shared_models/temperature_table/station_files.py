"""A real series written down in the two open layouts of daily station records. Knows no reader of them."""

from collections.abc import Iterable
from datetime import date

from shared_models.calculations.heat_sums import Days

STATION = "USW00024233"  # the station's number as the weather service gives it (from memory)


def station_lines(days: Days, quality: Iterable[date] = (), hour: str = "2400") -> str:
    """A line for each day and element, among lines of other elements; `quality` are days that failed a check."""
    failed = set(quality)
    written = []
    for day, told in sorted(days.items()):
        for element, value in (("TMAX", told.maximum), ("PRCP", 3.0), ("TMIN", told.minimum)):
            flag = "I" if day in failed and element == "TMAX" else ""
            written.append(f"{STATION},{day:%Y%m%d},{element},{round(value * 10)},,{flag},W,{hour}")
    return "\n".join(written) + "\n"


def station_days(days: Days) -> str:
    """A line for each day, values padded, attributes beside them."""
    head = "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES"
    quoted = ",".join(f'"{name}"' for name in head.split(","))
    written = [
        f'"{STATION}","{day}","47.4","-122.3","112.8","SOMEWHERE, US","   30",",,W,2400",'
        f'"{round(told.maximum * 10):5}",",,W,2400","{round(told.minimum * 10):5}",",,W,2400"'
        for day, told in sorted(days.items())
    ]
    return "\n".join([quoted, *written]) + "\n"

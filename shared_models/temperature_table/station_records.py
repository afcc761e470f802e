"""Daily station records in their two open layouts: a line for each day and element, or a line for each day.

The layouts are those of the Global Historical Climatology Network – Daily (United States weather service): the first as
the description beside its station files says, the second and the number for *missing* from memory. Temperatures are
tenths of °C; −9999 is missing; a letter in the quality flag says that the value failed a check, and such a value is never used. A time of observation before noon means that the
highest is that of the day before (observers' practice, from memory).
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.score_table.reading import BadLine
from shared_models.temperature_table.rows import AskedOfTable, DayRow, Habit, Layout, TemperatureTable

_STATION = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}")
_DAY = re.compile(r"(\d{4})-?(\d{2})-?(\d{2})")
_LOWEST, _HIGHEST = "TMIN", "TMAX"
_MISSING = -9999
Lines = Iterable[tuple[int, list[str]]]


@dataclass(slots=True)
class _Told:
    """What the lines of one day of one station tell so far."""

    line: int
    values: dict[str, float] = field(default_factory=dict)
    refused: list[str] = field(default_factory=list)
    hour: int | None = None


def is_station_line(cells: Sequence[str]) -> bool:
    """Whether this is a line of the layout without a head: station, day, element, value."""
    return len(cells) >= 4 and bool(_STATION.fullmatch(cells[0]) and re.fullmatch(r"\d{8}", cells[1]))


def is_station_days(names: Sequence[str]) -> bool:
    """Whether this is the head of the layout with a line a day: each element has a column of attributes beside it."""
    found = {name.upper() for name in names}
    return {"STATION", "DATE", _LOWEST, _HIGHEST} <= found and f"{_LOWEST}_ATTRIBUTES" in found


def read_station_lines(lines: Lines, asked: AskedOfTable) -> TemperatureTable:
    """Read the layout with a line for each element."""
    reader = _Days(asked)
    for number, cells in lines:
        if len(cells) < 4:
            reader.refuse(number, say("This line has {count} cells and needs 4 to 8.", count=len(cells)))
        elif cells[2] in (_LOWEST, _HIGHEST):
            _, quality, _, hour = (*cells[4:8], "", "", "", "")[:4]
            reader.take(number, (cells[0], cells[1]), cells[2], cells[3], quality, hour)
    return reader.table(Layout.STATION_LINES)


def read_station_days(names: Sequence[str], lines: Lines, asked: AskedOfTable) -> TemperatureTable:
    """Read the layout with a line for each day."""
    reader = _Days(asked)
    upper = [name.upper() for name in names]
    for number, cells in lines:
        told = dict(zip(upper, cells, strict=False))
        for element in (_LOWEST, _HIGHEST):
            attributes = (*told.get(f"{element}_ATTRIBUTES", "").split(","), "", "", "", "")
            place = (told.get("STATION", ""), told.get("DATE", ""))
            reader.take(number, place, element, told.get(element, ""), attributes[1], attributes[3])
    return reader.table(Layout.STATION_DAYS)


class _Days:
    """Gathers both temperatures of each day, of one station."""

    def __init__(self, asked: AskedOfTable) -> None:
        self._asked = asked
        self._days: dict[tuple[str, date], _Told] = {}
        self._bad: list[BadLine] = []

    def refuse(self, line: int, sentence: str, column: str | None = None) -> None:
        """Note a line that cannot be taken."""
        self._bad.append(BadLine(line, column, sentence))

    def take(
        self, line: int, place: tuple[str, str], element: str, value: str, quality: str, hour: str
    ) -> None:
        """Take one temperature, or note why not; a station that is not wanted is passed over."""
        station, text = place
        if self._asked.station not in (None, station):
            return
        day = _day(text)
        if day is None:
            self.refuse(line, say("“{value}” is no day; it is left out.", value=text[:40]))
            return
        told = self._days.setdefault((station, day), _Told(line))
        told.hour = int(hour) if hour.isdecimal() else told.hour
        if quality.strip():
            told.refused.append(_failed(element, quality.strip()))
        elif not value:
            pass
        elif not re.fullmatch(r"-?\d+", value):
            told.refused.append(say("“{value}” is no temperature in tenths of °C.", value=value[:40]))
        elif int(value) != _MISSING:
            told.values[element] = int(value) / 10

    def table(self, layout: Layout) -> TemperatureTable:
        """All of it; BadInputError where several stations stand in it, or none that is wanted."""
        stations = sorted({station for station, _ in self._days})
        if len(stations) != 1:
            raise BadInputError(_which_station(stations, self._asked.station), "station")
        return TemperatureTable(
            layout, "C", False, list(self._rows()), self._bad, self._asked.origin or stations[0]
        )

    def _rows(self) -> Iterator[DayRow]:
        for (_, day), told in self._days.items():
            if _LOWEST in told.values and _HIGHEST in told.values:
                low, high = told.values[_LOWEST], told.values[_HIGHEST]
                yield DayRow(told.line, day, low, high, habit=_habit(told.hour))
            elif self._asked.since is None or day >= self._asked.since:
                self.refuse(told.line, _incomplete(day, told))


def _day(text: str) -> date | None:
    parts = _DAY.fullmatch(text)
    try:
        return date(int(parts[1]), int(parts[2]), int(parts[3])) if parts else None
    except ValueError:
        return None


def _habit(hour: int | None) -> Habit | None:
    """The reading habit that a time of observation (hour and minute, 2400 at midnight) tells."""
    if hour is None:
        return None
    return "midnight" if hour in (0, 2400) else "morning" if hour < 1200 else "evening"


def _failed(element: str, flag: str) -> str:
    return say(
        "{element} failed a check of the weather service (flag {flag}).", element=element, flag=flag[:5]
    )


def _incomplete(day: date, told: _Told) -> str:
    missing = [element for element in (_LOWEST, _HIGHEST) if element not in told.values]
    why = told.refused or [say("{elements} is missing.", elements=", ".join(missing))]
    return say("{day} is left out: {why}", day=day, why=" ".join(why))


def _which_station(stations: Sequence[str], asked: str | None) -> str:
    if not stations and asked:
        return say("The table has no line of the station {station}; nothing was read.", station=asked)
    if not stations:
        return say("The table has no lowest and highest temperatures; nothing was read.")
    return say(
        "The table has {count} stations ({names} …); nothing was read. Name the one that is wanted.",
        count=len(stations),
        names=", ".join(stations[:3]),
    )

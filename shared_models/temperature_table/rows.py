"""What a table of daily temperatures says, line by line, and what a person may say beside it. Knows no file and no record."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Literal

from shared_models.score_table.reading import BadLine

Unit = Literal["C", "F"]
Habit = Literal["morning", "evening", "midnight"]

MOST_BYTES = 40_000_000  # a century of one station's days
MOST_DAYS = 15_000  # in one import: forty years


class Layout(StrEnum):
    """Which kind of table it is."""

    PLAIN = "plain"  # a line a day, columns guessed from their names
    STATION_LINES = "station_lines"  # daily station records, a line for each day and element
    STATION_DAYS = "station_days"  # daily station records, a line for each day


class Column(StrEnum):
    """What a column of a plain table may mean."""

    DAY = "day"
    LOWEST = "lowest"
    HIGHEST = "highest"
    DUSK = "dusk"


@dataclass(frozen=True, slots=True)
class AskedOfTable:
    """What a person says of the whole table; what is None is guessed or taken from the table.

    `columns` names columns of a plain table, `origin` the thermometer or station, `since` the first day wanted.
    """

    garden: str | None = None
    unit: Unit | None = None
    origin: str | None = None
    habit: Habit | None = None
    station: str | None = None
    since: date | None = None
    columns: Mapping[Column, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DayRow:
    """One day [° in the unit of its table]."""

    line: int
    day: date
    lowest: float
    highest: float
    dusk: float | None = None
    habit: Habit | None = None


@dataclass(frozen=True, slots=True)
class TemperatureTable:
    """What was understood of a table: its days, the lines that cannot be taken, and what was guessed.

    `columns` tells which column was taken for what; `not_used` are the others.
    """

    layout: Layout
    unit: Unit
    unit_guessed: bool
    rows: list[DayRow]
    bad: list[BadLine]
    origin: str | None = None
    columns: Mapping[Column, str] = field(default_factory=dict)
    not_used: list[str] = field(default_factory=list)

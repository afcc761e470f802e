"""A table of daily temperatures, read line by line. Knows no records, and writes nothing.

"Every line is either understood or named with its number and what is wrong with it; the good ones are used."
"""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import chain

from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.score_table.reading import BadLine, lines_of, text_of
from shared_models.temperature_table.columns import DayOrder, columns_of, unit_guessed, unit_in
from shared_models.temperature_table.rows import (
    MOST_BYTES,
    MOST_DAYS,
    AskedOfTable,
    Column,
    DayRow,
    Layout,
    TemperatureTable,
    Unit,
)
from shared_models.temperature_table.station_records import (
    is_station_days,
    is_station_line,
    read_station_days,
    read_station_lines,
)
from shared_models.when import EARLIEST, LATEST

Cells = Sequence[str]
POSSIBLE = {"C": (-60.0, 60.0), "F": (-76.0, 140.0)}  # no garden has had more or less (common practice)


class _BadCell(Exception):
    def __init__(self, column: str | None, sentence: str) -> None:
        self.column = column
        self.sentence = sentence


def read_temperature_file(content: bytes, asked: AskedOfTable) -> TemperatureTable:
    """Read the bytes of a file: UTF-8, with or without a byte order mark."""
    return read_temperature_table(text_of(content, MOST_BYTES), asked)


def read_temperature_table(text: str, asked: AskedOfTable) -> TemperatureTable:
    """Read a table of any layout; BadInputError where it cannot be read as one, and nothing of it is used then."""
    lines = lines_of(text)
    first = next(lines, None)
    if first is None:
        raise BadInputError(say("This table is empty; nothing was read."), "table")
    if is_station_line(first[1]):
        table = read_station_lines(chain([first], lines), asked)
    elif is_station_days(first[1]):
        table = read_station_days(first[1], lines, asked)
    else:
        table = _plain(first[1], list(lines), asked)
    return _looked_through(table, asked)


# ---------------------------------------------------------------- the plain layout
def _plain(names: Cells, lines: list[tuple[int, list[str]]], asked: AskedOfTable) -> TemperatureTable:
    places = columns_of(names, asked.columns)
    read = _PlainLines(places, DayOrder(_cell(cells, places[Column.DAY]) for _, cells in lines))
    rows: list[DayRow] = []
    bad: list[BadLine] = []
    for number, cells in lines:
        try:
            rows.append(read.row(number, cells))
        except _BadCell as wrong:
            bad.append(BadLine(number, wrong.column, wrong.sentence))
    told: Unit | None = asked.unit or unit_in(
        names[place] for column, place in places.items() if column != Column.DAY
    )
    return TemperatureTable(
        layout=Layout.PLAIN,
        unit=told or unit_guessed(row.highest for row in rows),
        unit_guessed=told is None,
        rows=rows,
        bad=bad,
        columns={column: names[place] for column, place in places.items()},
        not_used=[name for place, name in enumerate(names) if place not in places.values()],
    )


def _cell(cells: Cells, place: int) -> str:
    return cells[place] if place < len(cells) else ""


class _PlainLines:
    """Reads the lines of one plain table."""

    def __init__(self, places: dict[Column, int], days: DayOrder) -> None:
        self._places = places
        self._days = days

    def row(self, number: int, cells: Cells) -> DayRow:
        """One line; _BadCell where it cannot be taken."""
        return DayRow(
            line=number,
            day=self._day(cells),
            lowest=self._number(cells, Column.LOWEST),
            highest=self._number(cells, Column.HIGHEST),
            dusk=self._number(cells, Column.DUSK) if self._dusk_said(cells) else None,
        )

    def _dusk_said(self, cells: Cells) -> bool:
        return Column.DUSK in self._places and bool(_cell(cells, self._places[Column.DUSK]))

    def _day(self, cells: Cells) -> date:
        text = _cell(cells, self._places[Column.DAY])
        try:
            day = self._days.read(text)
        except ValueError:
            day = None
        if day is None or not EARLIEST <= day <= LATEST:
            raise _BadCell(
                Column.DAY,
                say("“{value}” is no day from 1950 to 2100; write it as 2026-05-31.", value=text[:40]),
            )
        return day

    def _number(self, cells: Cells, column: Column) -> float:
        text = _cell(cells, self._places[column])
        if not text:
            raise _BadCell(column, say("“{column}” is empty; the day is left out.", column=column.value))
        try:
            return float(text.replace(",", ".").replace("\N{MINUS SIGN}", "-"))
        except ValueError:
            raise _BadCell(
                column, say("“{value}” is no temperature; the day is left out.", value=text[:40])
            ) from None


# ---------------------------------------------------------------- what holds for every layout
def _looked_through(table: TemperatureTable, asked: AskedOfTable) -> TemperatureTable:
    """Without days before the first one wanted, and with impossible and double ones among the bad lines."""
    wanted = [row for row in table.rows if asked.since is None or row.day >= asked.since]
    if len(wanted) > MOST_DAYS:
        raise BadInputError(
            say(
                "This table has more than {most} days; nothing was read. Say from which day on it is wanted.",
                most=MOST_DAYS,
            ),
            "since",
        )
    rows: dict[date, DayRow] = {}
    bad = [*table.bad]
    for row in wanted:
        wrong = _wrong_with(row, table.unit) or _other_of_its_day(row, rows.get(row.day))
        if wrong:
            bad.append(BadLine(row.line, None, wrong))
        else:
            rows.setdefault(row.day, row)
    kept = sorted(rows.values(), key=lambda row: row.day)
    return TemperatureTable(
        table.layout,
        table.unit,
        table.unit_guessed,
        kept,
        sorted(bad, key=lambda line: line.line),
        asked.origin or table.origin,
        table.columns,
        table.not_used,
    )


def _wrong_with(row: DayRow, unit: Unit) -> str | None:
    least, most = POSSIBLE[unit]
    if not all(least <= value <= most for value in _values(row)):
        return say("No garden has had a day of {low} to {high} °{unit}.", **_said(row, unit))
    if row.lowest > row.highest:
        return say("The lowest, {low}, lies above the highest, {high}; one of them is wrong.", **_said(row))
    return None


def _other_of_its_day(row: DayRow, earlier: DayRow | None) -> str | None:
    if earlier is None or (earlier.lowest, earlier.highest) == (row.lowest, row.highest):
        return None
    return say("This day stands in line {line} already, with other temperatures.", line=earlier.line)


def _said(row: DayRow, unit: str = "") -> dict[str, object]:
    return {"low": f"{row.lowest:g}", "high": f"{row.highest:g}", "unit": unit}


def _values(row: DayRow) -> Iterator[float]:
    yield from (row.lowest, row.highest)
    if row.dusk is not None:
        yield row.dusk

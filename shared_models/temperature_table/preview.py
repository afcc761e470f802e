"""What an import of temperatures understood and would write, in plain lines for a person to check. Decides nothing."""

from collections.abc import Callable, Iterator
from datetime import date

from shared_models.language import say, say_many, spoken, word
from shared_models.score_table.preview import bad_lines
from shared_models.temperature_table.planning import TemperaturePlan
from shared_models.temperature_table.rows import Column, Layout, TemperatureTable

_LAYOUTS = {
    Layout.PLAIN: word("a line for each day"),
    Layout.STATION_LINES: word("daily station records, a line for each day and element, tenths of °C"),
    Layout.STATION_DAYS: word("daily station records, a line for each day, tenths of °C"),
}
_COLUMNS = {
    Column.DAY: word("day"),
    Column.LOWEST: word("lowest temperature"),
    Column.HIGHEST: word("highest temperature"),
    Column.DUSK: word("temperature at sunset"),
}
FIRST_FEW = 3


def temperature_preview(plan: TemperaturePlan) -> str:
    """The table as it was understood, its bad lines, and what there is to write."""
    parts: tuple[Callable[[TemperaturePlan], Iterator[str]], ...] = (_table, _days, _lines, _to_write)
    return "\n".join(line for part in parts for line in part(plan)) + "\n"


def _table(plan: TemperaturePlan) -> Iterator[str]:
    table = plan.table
    yield say(
        "{garden}, from “{origin}”: {layout}.",
        garden=plan.garden_name,
        origin=plan.origin,
        layout=spoken(_LAYOUTS[table.layout]),
    )
    for column, name in table.columns.items():
        yield say("The {what} is the column “{name}”.", what=spoken(_COLUMNS[column]), name=name)
    if table.not_used:
        yield say("Columns not used: {columns}.", columns=", ".join(name or "–" for name in table.not_used))
    yield _unit(table)


def _unit(table: TemperatureTable) -> str:
    if table.unit_guessed:
        return say(
            "Temperatures are in °{unit}: a guess from the numbers, since no column says so. Say the unit if it is "
            "the other one.",
            unit=table.unit,
        )
    return say("Temperatures are in °{unit}.", unit=table.unit)


def _days(plan: TemperaturePlan) -> Iterator[str]:
    rows = plan.table.rows
    if not rows:
        yield say("No day was understood.")
        return
    yield say_many(
        "{count} day from {first} to {last}; {missing} days between them are missing.",
        "{count} days from {first} to {last}; {missing} days between them are missing.",
        len(rows),
        first=rows[0].day,
        last=rows[-1].day,
        missing=(rows[-1].day - rows[0].day).days + 1 - len(rows),
    )
    for row in (*rows[:FIRST_FEW], *([rows[-1]] if len(rows) > FIRST_FEW else [])):
        yield _as_understood(row.day, row.lowest, row.highest, plan.table.unit)
    if plan.typed:
        yield say_many(
            "{count} of these days was typed by somebody too; what was typed goes before the table.",
            "{count} of these days were typed by somebody too; what was typed goes before the table.",
            plan.typed,
        )


def _as_understood(day: date, low: float, high: float, unit: str) -> str:
    return say("  {day}: {low} to {high} °{unit}", day=day, low=f"{low:g}", high=f"{high:g}", unit=unit)


def _lines(plan: TemperaturePlan) -> Iterator[str]:
    yield from bad_lines(plan.table.bad)
    yield from bad_lines(plan.doubtful[:FIRST_FEW])
    if len(plan.doubtful) > FIRST_FEW:
        yield say_many(
            "{count} more line does not seem to fit.",
            "{count} more lines do not seem to fit.",
            len(plan.doubtful) - FIRST_FEW,
        )


def _to_write(plan: TemperaturePlan) -> Iterator[str]:
    if plan.table.bad:
        yield say_many(
            "{count} line is left out, the others are used.",
            "{count} lines are left out, the others are used.",
            len(plan.table.bad),
        )
    new = sum(change.new for change in plan.changes)
    if plan.changes:
        yield say("To write: {new} new days, {changed} changed.", new=new, changed=len(plan.changes) - new)
    else:
        yield say("Everything in this table is recorded already; there is nothing to write.")

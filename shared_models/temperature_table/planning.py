"""The import of daily temperatures: what was understood and the few changes that have to be written. Writes nothing.

"Importing twice changes nothing; a corrected table writes only the differences; bad lines are named and good ones kept."
What somebody typed for a day stays beside what a table says of it, and goes before it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.fold import DELETED
from shared_models.identifiers import derived_id
from shared_models.language import say
from shared_models.records.gardens import Garden
from shared_models.records.jobs import DayTemperature
from shared_models.records.kinds import check_fields
from shared_models.score_table.ground import Records
from shared_models.score_table.planning import Change
from shared_models.score_table.reading import BadLine
from shared_models.temperature_table.rows import AskedOfTable, DayRow, TemperatureTable

FROM_TABLE = "temperatures from a table"
UNNAMED = "table"  # the origin of a table that names no station


@dataclass(frozen=True, slots=True)
class TemperaturePlan:
    """What a table says of a garden, and the changes after which the records say the same.

    `doubtful` are lines that are taken and do not seem to fit; `typed` is how many of its days somebody typed as well.
    """

    garden: str
    garden_name: str
    origin: str
    table: TemperatureTable
    changes: list[Change]
    doubtful: list[BadLine]
    typed: int


def plan_temperatures(table: TemperatureTable, records: Records, asked: AskedOfTable) -> TemperaturePlan:
    """Plan an import; BadInputError where it is left open which garden is meant, or the origin cannot be taken."""
    garden = _garden(records, asked.garden)
    origin = table.origin or UNNAMED
    for complaint in check_fields(DayTemperature.kind, {"origin": origin}, creates=False):
        raise BadInputError(complaint.sentence, "origin")
    return TemperaturePlan(
        garden=garden.rec,
        garden_name=garden.name,
        origin=origin,
        table=table,
        changes=list(_changes(table, records, garden.rec, origin, asked)),
        doubtful=list(_doubtful(table, garden.rec)),
        typed=_typed_too(table, records, garden.rec),
    )


def temperature_id(garden: str, origin: str, day: date) -> str:
    """The id of what one source says of a garden's day: the same on every phone and on the server."""
    midnight = datetime.combine(day, time.min, UTC)
    return derived_id(max(0, int(midnight.timestamp() * 1000)), FROM_TABLE, garden, origin, day.isoformat())


def _garden(records: Records, name: str | None) -> Garden:
    gardens = [one for one in records.all(Garden) if not one.retired and name in (None, one.name, one.rec)]
    if len(gardens) == 1:
        return gardens[0]
    if not gardens:
        raise BadInputError(
            say("There is no garden “{name}” here; nothing was read. Make it first.", name=name or ""),
            "garden",
        )
    raise BadInputError(
        say("It is not clear which garden the table is of; nothing was read. Name the garden."), "garden"
    )


def _changes(
    table: TemperatureTable, records: Records, garden: str, origin: str, asked: AskedOfTable
) -> Iterator[Change]:
    for row in table.rows:
        said = _fields(row, table, garden, asked) | {"origin": origin}
        rec = temperature_id(garden, origin, row.day)
        there = records.folded(rec)
        if there is None:
            yield Change(DayTemperature.kind, rec, said, new=True)
            continue
        fields = {name: value for name, value in said.items() if there.fields.get(name) != value}
        if there.deleted:
            fields[DELETED] = False
        if fields:
            yield Change(DayTemperature.kind, rec, fields, new=False)


def _fields(row: DayRow, table: TemperatureTable, garden: str, asked: AskedOfTable) -> Fields:
    said: Fields = {
        "garden": garden,
        "when": row.day.isoformat(),
        "lowest": _plain(row.lowest),
        "highest": _plain(row.highest),
        "unit": table.unit,
    }
    habit = asked.habit or row.habit
    return (
        said
        | ({"habit": habit} if habit else {})
        | ({"dusk": _plain(row.dusk)} if row.dusk is not None else {})
    )


def _plain(value: float) -> float | int:
    """A whole number as such: entries write 12.0 as 12, and a record must compare equal to what is read again."""
    return int(value) if value == int(value) else value


def _doubtful(table: TemperatureTable, garden: str) -> Iterator[BadLine]:
    for row in table.rows:
        read = DayTemperature(
            garden=garden, when=row.day.isoformat(), lowest=row.lowest, highest=row.highest, unit=table.unit
        )
        for doubt in read.doubts():
            yield BadLine(row.line, doubt.field, doubt.sentence)


def _typed_too(table: TemperatureTable, records: Records, garden: str) -> int:
    days = {row.day.isoformat() for row in table.rows}
    own = {one.when for one in records.all(DayTemperature) if one.garden == garden and not one.origin}
    return len(days & own)

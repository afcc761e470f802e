"""One reading of a thermometer in °C, whatever it was typed in; made of a record, or of its stored fields by the thousand.

Read in the morning, the highest is that of the day before, and belongs there (from memory; observers' practice).
"""

from collections.abc import Iterable
from datetime import date
from json import loads
from typing import Any, NamedTuple

from shared_models.calculations.degree_days import to_celsius
from shared_models.records.jobs import DayTemperature

OWN = ""  # the origin of what a person read and typed
MORNING = "morning"


class Reading(NamedTuple):
    """Lowest, highest and sunset temperature of a day of a garden [°C], from which source and record."""

    garden: str
    day: date
    lowest: float
    highest: float
    dusk: float | None
    morning: bool
    origin: str
    entered: str
    rec: str


def reading_of(record: DayTemperature) -> Reading:
    """The reading of a record."""
    fahrenheit = record.unit == "F"
    low, high, dusk = record.lowest, record.highest, record.dusk
    return Reading(
        record.garden,
        date.fromisoformat(record.when),
        to_celsius(low) if fahrenheit else low,
        to_celsius(high) if fahrenheit else high,
        to_celsius(dusk) if fahrenheit and dusk is not None else dusk,
        record.habit == MORNING,
        record.origin or OWN,
        record.entered,
        record.rec,
    )


def readings_stored(rows: Iterable[tuple[str, str, str]]) -> list[Reading]:
    """Readings of stored day temperatures (id, fields as JSON, when entered); incomplete ones stay out.

    A record of each day would take five times as long; whatever is not plainly complete goes that way. All fields are
    read as one text, which takes half the time of as many small ones.
    """
    told = list(rows)
    every = loads(f"[{','.join([text for _, text, _ in told])}]")
    found = []
    for (rec, _, entered), fields in zip(told, every, strict=True):
        reading = _plain(fields, entered, rec) or _by_its_record(fields, rec, entered)
        if reading is not None:
            found.append(reading)
    return found


def _plain(fields: Any, entered: str, rec: str) -> Reading | None:
    """The reading of fields that are as nearly all of them are: in °C, without a habit and a sunset."""
    try:
        if fields["unit"] != "C" or "habit" in fields or "dusk" in fields:
            return None
        low, high, when = fields["lowest"], fields["highest"], fields["when"]
        if len(when) != 10 or when[7] != "-":  # Python would also read week dates and compact ones
            return None
        if type(low) not in _NUMBERS or type(high) not in _NUMBERS or not -80 <= low <= high <= 150:
            return None
        origin = fields.get("origin") or OWN
        return _MADE(Reading, (fields["garden"], _DAY(when), low, high, None, False, origin, entered, rec))
    except (KeyError, TypeError, ValueError):
        return None


_NUMBERS = (float, int)
_DAY = date.fromisoformat
_MADE = tuple.__new__  # a named tuple's own way takes three times as long


def _by_its_record(fields: dict[str, Any], rec: str, entered: str) -> Reading | None:
    try:
        record = DayTemperature.model_validate({**fields, "rec": rec, "entered": entered})
    except ValueError:
        return None
    return reading_of(record)

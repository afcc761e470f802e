"""Guesses which column of a plain table is what, and in which unit and order of day and month it is. Reads no file.

"A guess is shown before anything is written, and where two readings are possible nothing is guessed."
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.temperature_table.rows import Column, Unit

_WORDS = {
    Column.DAY: {"date", "day", "datum", "yyyymmdd"},
    Column.LOWEST: {"lowest", "low", "min", "minimum", "tmin", "mint", "tn"},
    Column.HIGHEST: {"highest", "high", "max", "maximum", "tmax", "maxt", "tx"},
    Column.DUSK: {"dusk", "sunset"},
}
# A lowest or highest of something else; and what a station table writes beside a temperature.
_OF_SOMETHING_ELSE = {
    "attributes", "dew", "flag", "gust", "humidity", "precipitation", "pressure", "rain", "rh", "soil", "wind",
}  # fmt: skip
_HOTTEST_C = 50.0  # a day above this is no °C of any garden (common practice)
_ISO = re.compile(r"(\d{4})-?(\d{2})-?(\d{2})(?:[T ].*)?")
_PARTS = re.compile(r"(\d{1,2})([./])(\d{1,2})\2(\d{4})")


def columns_of(names: Sequence[str], asked: Mapping[Column, str]) -> dict[Column, int]:
    """The place of each column; BadInputError where one that is needed is missing, or several could be it."""
    places = {column: _asked_place(names, name) for column, name in asked.items()}
    for column in Column:
        if column not in places:
            found = _candidates(names, column)
            if len(found) > 1:
                raise _several(column, [names[place] for place in found])
            if found:
                places[column] = found[0]
    for column in (Column.DAY, Column.LOWEST, Column.HIGHEST):
        if column not in places:
            raise BadInputError(
                say(
                    "The first line has no column for the {what}; it has {names}. Nothing was read; name the column.",
                    what=column.value,
                    names=", ".join(names),
                ),
                column.value,
            )
    return places


def unit_in(names: Iterable[str]) -> Unit | None:
    """The unit that the names of the columns tell; None where they tell none, or both."""
    told: set[Unit] = set()
    for name in names:
        words = _words(name)
        told |= {"F"} if words & {"f", "°f", "degf", "fahrenheit"} else set()
        told |= {"C"} if words & {"c", "°c", "degc", "celsius", "centigrade"} else set()
    return told.pop() if len(told) == 1 else None


def unit_guessed(highest: Iterable[float]) -> Unit:
    """The unit that the highest temperatures themselves suggest: °F where any of them is too hot for °C.

    >>> unit_guessed([12.5, 31.0]), unit_guessed([48.0, 77.0])
    ('C', 'F')
    """
    return "F" if max(highest, default=0.0) > _HOTTEST_C else "C"


class DayOrder:
    """How a table writes its days: with the year first, or with day and month in an order that its own lines tell."""

    def __init__(self, texts: Iterable[str]) -> None:
        found = [parts for parts in (_PARTS.fullmatch(text) for text in texts) if parts]
        dotted = any(parts[2] == "." for parts in found)  # with dots the day always comes first
        self._month_first = not dotted and any(int(parts[3]) > 12 for parts in found)
        self._told = dotted or self._month_first or any(int(parts[1]) > 12 for parts in found)

    def read(self, text: str) -> date:
        """A day; ValueError where it is none, BadInputError where day and month could be taken for each other."""
        iso = _ISO.fullmatch(text)
        if iso:
            return date(int(iso[1]), int(iso[2]), int(iso[3]))
        parts = _PARTS.fullmatch(text)
        if parts is None:
            raise ValueError(text)
        if not self._told:
            raise BadInputError(
                say(
                    "“{value}” may be read in two ways, and no line of the table tells whether day or month comes "
                    "first. Nothing was read; write days as 2026-05-31.",
                    value=text,
                ),
                Column.DAY,
            )
        first, second = int(parts[1]), int(parts[3])
        month, day = (first, second) if self._month_first else (second, first)
        return date(int(parts[4]), month, day)


def _words(name: str) -> set[str]:
    return set(re.sub(r"[\s_()\[\]/,.-]+", " ", name.casefold()).split())


def _candidates(names: Sequence[str], column: Column) -> list[int]:
    exact = [place for place, name in enumerate(names) if name.casefold() in _WORDS[column]]
    named = [
        place
        for place, name in enumerate(names)
        if _words(name) & _WORDS[column] and not _words(name) & _OF_SOMETHING_ELSE
    ]
    return exact if len(exact) == 1 else named


def _asked_place(names: Sequence[str], name: str) -> int:
    if name not in names:
        raise BadInputError(
            say(
                "The table has no column “{name}”; it has {names}. Nothing was read.",
                name=name,
                names=", ".join(names),
            ),
            name,
        )
    return list(names).index(name)


def _several(column: Column, names: Sequence[str]) -> BadInputError:
    return BadInputError(
        say(
            "Several columns could be the {what}: {names}. Nothing was read; name the right one.",
            what=column.value,
            names=", ".join(names),
        ),
        column.value,
    )

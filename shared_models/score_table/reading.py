"""A table of picking scores (CSV), read line by line: what each line says, and what is wrong with it. Knows no records.

Columns: tree, methods, scored, damaged; where wanted garden, cultivar, date, season, reach, declared_before.
Methods are joined by "+"; `untreated` alone declares a tree left untreated; nothing means that it is not recorded.
"Every line is either understood or named with its number and what is wrong with it."
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from shared_models.errors import BadInputError, TooLargeError
from shared_models.language import say
from shared_models.score_table.method_words import method_key
from shared_models.seasons import season_named
from shared_models.vocabulary import UNTREATED, Reach
from shared_models.when import parse_when

T = TypeVar("T")

MOST_BYTES = 4_000_000
MOST_LINES = 20_000
MOST_FRUIT = 100_000
MUST = ("tree", "methods", "scored", "damaged")
MAY = ("garden", "cultivar", "date", "season", "reach", "declared_before")
_WHOLE = re.compile(r"([0-9]{1,9})(?:[.,]0+)?")  # spreadsheets write 12 as 12.0 at times
_YES, _NO = frozenset({"yes", "y", "true", "1"}), frozenset({"no", "n", "false", "0"})


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line that cannot be taken: its number in the file, the column where one is to blame, and a whole sentence."""

    line: int
    column: str | None
    sentence: str


@dataclass(frozen=True, slots=True)
class ScoreRow:
    """One line. `methods` maps keys to the words used: empty is untreated, None is not recorded."""

    line: int
    tree: str
    methods: Mapping[str, str] | None
    scored: int
    damaged: int
    garden: str | None = None
    cultivar: str | None = None
    day: date | None = None
    season: str | None = None
    reach: Reach | None = None
    declared_before: bool | None = None


@dataclass(frozen=True, slots=True)
class ScoreTable:
    """The lines that were understood, the bad ones, and the columns that mean nothing here."""

    rows: list[ScoreRow]
    bad: list[BadLine]
    not_used: list[str] = field(default_factory=list)


def read_score_file(content: bytes) -> ScoreTable:
    """Read the bytes of a file: UTF-8, with or without a byte order mark."""
    return read_score_table(text_of(content))


def text_of(content: bytes, most: int = MOST_BYTES) -> str:
    """The text of a table's file; TooLargeError beyond so many bytes, BadInputError where it is no UTF-8."""
    if len(content) > most:
        raise TooLargeError(
            say("This table has more than {most} MB; nothing was read. Split it.", most=most // 10**6)
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInputError(
            say("This file is no UTF-8 text; nothing was read. Save the table as “CSV UTF-8”."), "table"
        ) from None


def read_score_table(text: str) -> ScoreTable:
    """Read a table; BadInputError or TooLargeError where it cannot be read as one, and nothing of it is used then."""
    lines = lines_of(text)
    first = next(lines, None)
    if first is None:
        raise BadInputError(say("This table is empty; nothing was read."), "table")
    columns = _columns(first[1])
    rows: list[ScoreRow] = []
    bad: list[BadLine] = []
    for number, cells in lines:
        if number > MOST_LINES:
            raise TooLargeError(
                say("This table has more than {most} lines; nothing was read. Split it.", most=MOST_LINES)
            )
        _take(number, cells, columns, rows, bad)
    return ScoreTable(rows, bad, [name for name in columns if name not in (*MUST, *MAY)])


# ---------------------------------------------------------------- lines and columns
def lines_of(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each line that is not blank with the number it begins at; quoted cells may hold commas and line ends."""
    text = text.removeprefix("\ufeff")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, [" ".join(cell.split()) for cell in cells]
            begins = reader.line_num + 1
    except csv.Error:
        raise BadInputError(
            say(
                "Line {line} cannot be read, perhaps for a quotation mark that is not closed; nothing was used.",
                line=begins,
            ),
            "table",
        ) from None


def _separator(text: str) -> str:
    """Comma, semicolon or tabulator: whichever stands most often in the first line that is not blank."""
    head = text.lstrip().split("\n", 1)[0]
    return max(",;\t", key=head.count)


def _columns(cells: list[str]) -> list[str]:
    names = [re.sub(r"[\s-]+", "_", cell.casefold()) for cell in cells]
    while names and not names[-1]:
        names.pop()
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        raise BadInputError(
            say("The column “{column}” stands twice; nothing was read.", column=twice[0]), twice[0]
        )
    missing = [name for name in MUST if name not in names]
    if missing:
        raise BadInputError(
            say(
                "The first line has no column “{column}”; it needs {needed}. Nothing was read.",
                column=missing[0],
                needed=", ".join(MUST),
            ),
            missing[0],
        )
    return names


# ---------------------------------------------------------------- one line
class _BadCell(Exception):
    def __init__(self, column: str | None, sentence: str) -> None:
        self.column = column
        self.sentence = sentence


def _take(
    number: int, cells: list[str], columns: list[str], rows: list[ScoreRow], bad: list[BadLine]
) -> None:
    try:
        rows.append(_row(number, _named(cells, columns)))
    except _BadCell as wrong:
        bad.append(BadLine(number, wrong.column, wrong.sentence))


def _named(cells: list[str], columns: list[str]) -> dict[str, str]:
    if any(cells[len(columns) :]):
        raise _BadCell(
            None,
            say(
                "This line has {cells} cells and the first line {columns}.",
                cells=len(cells),
                columns=len(columns),
            ),
        )
    return dict(zip(columns, cells, strict=False))


def _row(number: int, cells: dict[str, str]) -> ScoreRow:
    methods = _methods(cells.get("methods", ""))
    scored, damaged = _number(cells, "scored"), _number(cells, "damaged")
    if scored == 0:
        raise _BadCell("scored", say("No fruit was scored; leave the line out."))
    if damaged > scored:
        raise _BadCell(
            "damaged",
            say("{damaged} damaged are more than {scored} scored.", damaged=damaged, scored=scored),
        )
    return ScoreRow(
        line=number,
        tree=_label(cells, "tree") or _missing("tree"),
        methods=methods,
        scored=scored,
        damaged=damaged,
        garden=_label(cells, "garden"),
        cultivar=_label(cells, "cultivar"),
        day=_optional(cells, "date", _day),
        season=_optional(cells, "season", _season),
        reach=_optional(cells, "reach", _reach),
        declared_before=_optional(cells, "declared_before", _yes_or_no),
    )


def _missing(column: str) -> str:
    raise _BadCell(column, say("“{column}” is empty; fill it in.", column=column))


def _label(cells: dict[str, str], column: str) -> str | None:
    text = cells.get(column, "")
    if len(text) > 60 or not text.isprintable():
        raise _BadCell(column, say("“{column}” has more than 60 letters or unreadable ones.", column=column))
    return text or None


def _number(cells: dict[str, str], column: str) -> int:
    text = cells.get(column, "") or _missing(column)
    whole = _WHOLE.fullmatch(text)
    if whole is None or int(whole[1]) > MOST_FRUIT:
        raise _BadCell(
            column,
            say(
                "“{column}” is “{value}”, and must be a whole number from 0 to {most}.",
                column=column,
                value=text[:40],
                most=MOST_FRUIT,
            ),
        )
    return int(whole[1])


def _methods(text: str) -> dict[str, str] | None:
    if not text:
        return None
    words = [word.strip() for word in text.split("+")]
    if not all(words):
        raise _BadCell("methods", say("“{value}” has a + without a method beside it.", value=text[:60]))
    if any(len(word) > 60 or not word.isprintable() for word in words):
        raise _BadCell("methods", say("A method has more than 60 letters or unreadable ones."))
    named = {method_key(word): word for word in reversed(words)}
    if UNTREATED in named:
        if len(named) > 1:
            raise _BadCell(
                "methods", say("“{value}”: a tree with a method is not untreated.", value=text[:60])
            )
        return {}
    return dict(reversed(named.items()))


def _optional(cells: dict[str, str], column: str, read: Callable[[str], T]) -> T | None:
    text = cells.get(column, "")
    try:
        return read(text) if text else None
    except ValueError:
        raise _BadCell(column, _HOW_TO_WRITE[column](text[:40])) from None


def _day(text: str) -> date:
    day = parse_when(text).day
    if day is None or len(text) != 10:
        raise ValueError(text)
    return day


def _season(text: str) -> str:
    return season_named(text).key


def _reach(text: str) -> Reach:
    return Reach(text.casefold())


def _yes_or_no(text: str) -> bool:
    if text.casefold() not in _YES | _NO:
        raise ValueError(text)
    return text.casefold() in _YES


_HOW_TO_WRITE: dict[str, Callable[[str], str]] = {
    "date": lambda text: say("“{value}” is no day from 1950 to 2100; write it as 2026-09-10.", value=text),
    "season": lambda text: say(
        "“{value}” names no season; write 2026 in the north or 2026/27 in the south.", value=text
    ),
    "reach": lambda text: say("The reach is “{value}”; it is one of fruit, tree, garden.", value=text),
    "declared_before": lambda text: say("“{value}” is neither yes nor no.", value=text),
}

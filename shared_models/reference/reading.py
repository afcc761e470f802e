"""Reads the tables of this folder, once. Knows no meaning of any column but `mark`."""

import csv
from enum import StrEnum
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent


class Mark(StrEnum):
    """How far a figure is to be trusted."""

    OPENED = "opened"
    MEMORY = "memory"
    COMPUTED = "computed"
    PRACTICE = "common practice"


@cache
def rows_of(table: str) -> tuple[dict[str, str], ...]:
    """The rows of a table by the names of its columns."""
    with (HERE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))

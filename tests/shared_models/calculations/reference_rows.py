"""The reference rows as test parameters, with their ids; knows the two files and nothing of what is checked."""

import csv
import json
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

REFERENCE = Path(__file__).parents[2] / "reference"

Row = dict[str, Any]


@cache
def all_checks() -> tuple[Row, ...]:
    """Every row of stats_checks.json."""
    return tuple(json.loads((REFERENCE / "stats_checks.json").read_text(encoding="utf-8")))


@cache
def all_vectors() -> tuple[Row, ...]:
    """Every row of stat_vectors.csv, with an `id` made of what and input ("same" repeats the line above)."""
    with (REFERENCE / "stat_vectors.csv").open(encoding="utf-8", newline="") as file:
        rows: list[Row] = [dict(row) for row in csv.DictReader(file)]
    for above, row in pairwise(rows):
        if row["what"] == "same":
            row["what"] = above["what"]
    return tuple(row | {"id": f"{row['what']}: {row['input']}"} for row in rows)


def checks(prefix: str) -> list[Any]:
    """The rows of stats_checks.json whose id begins so, as parameters named by id and origin."""
    return _parameters(all_checks(), prefix, lambda row: f"{row['id']} [{row['how']}]")


def vectors(prefix: str) -> list[Any]:
    """The rows of stat_vectors.csv whose id begins so, as parameters named by id."""
    return _parameters(all_vectors(), prefix, lambda row: row["id"])


def _parameters(rows: Iterable[Row], prefix: str, name: Any) -> list[Any]:
    found = [pytest.param(row, id=name(row)) for row in rows if row["id"].startswith(prefix)]
    assert found, f"No reference row begins with “{prefix}”."
    return found


def near(row: Row, expected: Any) -> Any:
    """Anything within the tolerance of the row, which is meant absolutely."""
    return pytest.approx(expected, abs=row["tolerance"], rel=0)

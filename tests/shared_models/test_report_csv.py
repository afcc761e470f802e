"""The tables of the report: read back by Python's own reader, with every number and no formula."""

import csv
import io

import pytest

from shared_models.report_csv import TABLES, table
from tests.shared_models.season.seasons import SmallSeason


@pytest.fixture
def report():
    """Six trees, bags on one, a trap, an hour of work."""
    season = SmallSeason()
    trees = season.trees(6)
    season.untreated(*trees[3:])
    season.job("granulovirus", *trees[:3], minutes=60, cost=4)
    for number, tree in enumerate(trees):
        season.picked(tree, 30, 1 if number < 3 else 9, total=100)
    trap = season.keep(season.phone.trap(season.garden, "=1+1"))
    season.keep(season.phone.trap_visit(trap, 0, when="2026-05-01"))
    season.keep(season.phone.trap_visit(trap, 3, when="2026-05-08"))
    return season.report()


def read(text: str) -> list[dict[str, str]]:
    """The rows of a table."""
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("name", list(TABLES))
def test_every_table_has_a_header_and_rows_of_its_length_and_ends_lines_as_rfc_4180_says(report, name):
    text = table(report, name)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len(rows) > 1 and {len(row) for row in rows} == {len(TABLES[name][0])}
    assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", "")
    assert not any("None" in cell or "nan" in cell for row in rows for cell in row)


def test_numbers_are_those_of_the_report(report):
    rows = read(table(report, "mixes"))
    picked = next(row for row in rows if row["mix"] == "granulovirus" and row["fruit"] == "picked")
    line = next(line for line in report.mixes if line.mix.key == "granulovirus")
    assert float(picked["rate"]) == line.picked.rate and int(picked["trees"]) == 3
    [contrast] = read(table(report, "contrasts"))
    assert float(contrast["difference"]) == report.contrasts[0].difference
    assert contrast["grade"] == report.contrasts[0].grade.value
    assert [row["minutes"] for row in read(table(report, "costs"))] == ["60"]
    assert sum(float(row["clean"] or 0) for row in read(table(report, "trees"))) == report.scored.clean


def test_what_is_not_known_is_empty_and_none_caught_is_nought(report):
    first, second = read(table(report, "traps"))
    assert (first["catch"], first["days"], first["moths_a_week"]) == ("0", "", "")
    assert (second["catch"], second["days"], second["moths_a_week"]) == ("3", "7", "3")


def test_a_label_that_looks_like_a_formula_is_text(report):
    assert {row["trap_label"] for row in read(table(report, "traps"))} == {"'=1+1"}


def test_an_empty_season_has_headers_only():
    empty = SmallSeason().report()
    assert all(len(table(empty, name).splitlines()) == 1 for name in TABLES)


def test_a_table_of_another_name_is_none(report):
    with pytest.raises(KeyError):
        table(report, "weather")

"""A part of a season, its tables, years and the planning page over HTTP: as the shared code makes them, group by group."""

from __future__ import annotations

import csv
import io

import pytest

from shared_models.calculations.sample_size import detectable
from shared_models.language import together
from shared_models.reports import season_report
from shared_models.season.choice import Choice, Damage
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years.parts import YearsReport
from shared_models.years_report import years_report
from tests.server.test_pages import Browser
from tests.shared_models.years.years_of import SmallYears


@pytest.fixture
def years():
    """Twelve trees of two cultivars over two years."""
    made = SmallYears()
    trees = made.planted(8) + made.planted(4, "Tarnell")
    for year in ("2025", "2026"):
        made.named(year)
        made.year(year, trees[:6], trees[6:], (2, 12))
    return made


@pytest.fixture
def browser(server, hill, keeper, years):
    """A browser of the group that has them."""
    keeper.push(years.entries)
    opened = Browser(server)
    opened.send(server.code(hill))
    return opened


def test_a_part_of_the_season_is_the_one_that_bare_entries_give(keeper, years):
    keeper.push(years.entries)
    records = from_entries(years.entries, "2026")
    told = keeper.get("/season/2026?cultivar=Tarnell&damage=deep").json()
    expected = season_report(records, Choice(cultivar="Tarnell", damage=Damage.DEEP))
    assert told == expected.model_dump(mode="json") and told["choice"]["cultivar"] == "Tarnell"
    in_garden = keeper.get(f"/season/2026?garden={years.garden.rec}").json()
    assert in_garden["choice"]["garden"] == "Hill" and len(in_garden["trees"]) == 12


@pytest.mark.parametrize(
    ("query", "field"), [("garden=00000000-0000-7000-8000-000000000000", "garden"), ("damage=all", "damage")]
)
def test_what_cannot_be_chosen_is_refused_by_name(keeper, years, query, field):
    keeper.push(years.entries)
    answer = keeper.get(f"/season/2026?{query}")
    assert answer.status_code == 400 and answer.json()["field"] == field


def test_a_garden_of_another_group_is_no_garden_here(server, keeper, years):
    server.caller(server.group("Others")).push(years.entries)
    assert keeper.get(f"/season/2026?garden={years.garden.rec}").status_code == 400


def test_tables_come_as_files_and_keep_the_choice(keeper, browser, years):
    answer = keeper.get("/season/2026/trees.csv?cultivar=Tarnell")
    rows = list(csv.DictReader(io.StringIO(answer.text, newline="")))
    assert answer.headers["content-type"] == "text/csv; charset=utf-8; header=present"
    assert answer.headers["content-disposition"] == 'attachment; filename="pomeward-2026-trees.csv"'
    assert len(rows) == 4 and {row["cultivar"] for row in rows} == {"Tarnell"}
    page = browser.open("/season/2026/trees.csv?cultivar=Tarnell")
    assert page.text == answer.text and page.headers["cache-control"] == "no-store"
    assert keeper.get("/season/2026/weather.csv").json()["field"] == "table"


def test_the_page_offers_what_can_be_chosen_and_its_files_keep_it(browser):
    page = browser.open("/season/2026?cultivar=Tarnell")
    assert '<option value="Tarnell" selected>' in page.text and "One cultivar: Tarnell." in page.text
    assert "/season/2026/contrasts.csv?cultivar=Tarnell" in page.text
    plain = browser.open("/season/2026")
    assert "One cultivar" not in plain.text and '/season/2026/contrasts.csv"' in plain.text


def test_years_are_those_of_the_bare_entries(keeper, browser, years):
    keeper.push(years.entries)
    told = YearsReport.model_validate_json(keeper.get("/years").content)
    expected = [from_entries(years.entries, key) for key in ("2025", "2026")]
    assert told == years_report(expected, Hemisphere.NORTH) and told.contrasts
    assert keeper.get("/years?half=south").json()["seasons"] == []
    page = browser.open("/years")
    assert "Together: difference" in page.text and "Hill · 1 (Dawnlet)" in page.text


def test_a_group_without_anything_has_pages_that_say_so(server, hill):
    opened = Browser(server)
    opened.send(server.code(hill))
    assert "no comparison was made in two seasons" in opened.open("/years").text
    assert opened.open("/plan").status_code == 200


def test_what_a_number_of_trees_can_show_is_reckoned_from_the_address(browser):
    page = browser.open("/plan?trees=8&fruit=30&usual=30&likeness=10")
    # `detectable` has its own checks; its worked example says 8 % for these numbers.
    told = detectable(0.30, trees=8, fruit_per_tree=30, icc=0.10)
    assert told is not None and together(f"8 trees: {100 * told:.1f} % damage or less") in page.text
    assert browser.open("/plan?trees=0").status_code == 400


@pytest.mark.parametrize("path", ["/years", "/plan", "/season/2026/trees.csv"])
def test_nothing_of_it_is_shown_without_a_connection(server, path):
    assert Browser(server).open(path).status_code == 401

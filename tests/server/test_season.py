"""The season report: made from the log of this moment, the same as from the bare entries."""

from __future__ import annotations

from datetime import timedelta

import pytest

from server.services.season_report import SeasonReports
from shared_models.reports import SeasonReport, season_report
from shared_models.season_records import from_entries
from tests.builders import FieldPhone


@pytest.fixture
def season_of_entries():
    """A small season: three treated trees, two left untreated, one with nothing recorded, a trap."""
    phone = FieldPhone()
    garden = phone.garden()
    trees = [phone.tree(garden, str(number)) for number in range(6)]
    entries = [garden, *trees]
    entries += [phone.job("granulovirus", *trees[:3]), phone.job("granulovirus", *trees[:3])]
    entries += [phone.untreated(tree) for tree in trees[3:5]]
    for number, tree in enumerate(trees):
        visit = phone.visit(tree)
        entries += [visit, phone.pick(tree, total=80), phone.number(visit, 25, "clean")]
        entries += [phone.mark(visit, "sting") for _ in range(2 * number)]
    trap = phone.trap(garden)
    entries.append(trap)
    for moths in (0, 4, 9):
        entries.append(phone.trap_visit(trap, moths))
        phone.wall += timedelta(days=5)
    return phone, entries


def test_the_report_is_the_one_that_bare_entries_give(either_server, season_of_entries):
    _, entries = season_of_entries
    keeper = either_server.caller(either_server.group())
    keeper.push(entries)
    told = SeasonReport.model_validate_json(keeper.get("/season/2026").content)
    assert told == season_report(from_entries(entries, "2026"))
    assert len(told.mixes) == 2 and told.traps
    assert keeper.get("/season").json() == {"seasons": ["2026"]}


def test_a_report_is_never_older_than_the_log(either_server, season_of_entries):
    phone, entries = season_of_entries
    keeper = either_server.caller(either_server.group())
    keeper.push(entries)
    marks = [entry for entry in entries if entry.kind == "mark"]
    for mark in marks[:4]:
        keeper.get("/season/2026")
        entries.append(phone.undoes(mark))
        keeper.push(entries[-1:])
        assert keeper.get("/season/2026").json() == season_report(from_entries(entries, "2026")).model_dump(
            mode="json"
        )


def test_what_came_before_the_record_that_it_belongs_to_is_counted_once_that_is_here(
    keeper, season_of_entries
):
    _, entries = season_of_entries
    keeper.push(entries[::-1][:-1])
    assert keeper.get("/season/2026").json()["mixes"] == []
    keeper.push(entries[:1])
    assert len(keeper.get("/season/2026").json()["mixes"]) == 2


def test_a_rebuild_changes_no_report(either_server, season_of_entries):
    _, entries = season_of_entries
    group = either_server.group()
    keeper = either_server.caller(group)
    keeper.push(entries)
    before = keeper.get("/season/2026").text
    reports = SeasonReports(either_server.services.database, group.id)
    assert reports.rebuild() == len({entry.rec for entry in entries})
    assert keeper.get("/season/2026").text == before


def test_a_southern_season_is_asked_for_with_a_dash(keeper):
    phone = FieldPhone()
    garden = phone.garden("South", "south")
    visit = phone.visit(phone.tree(garden))
    keeper.push([garden, visit])
    assert keeper.get("/season").json() == {"seasons": ["2026/27"]}
    assert keeper.get("/season/2026-27").json()["season"] == "2026/27"


def test_a_season_without_anything_is_an_empty_report(keeper):
    assert keeper.get("/season/2031").json()["trees"] == []


@pytest.mark.parametrize("key", ["26", "2026-28", "last", "2026 ", "%00", "9999999"])
def test_a_key_that_names_no_season_is_refused(keeper, key: str):
    answer = keeper.get(f"/season/{key}")
    assert answer.status_code == 400
    assert answer.json()["field"] == "season"


def test_held_back_entries_are_in_no_report(keeper, season_of_entries):
    phone, entries = season_of_entries
    keeper.push(entries)
    before = keeper.get("/season/2026").text
    keeper.push([phone.mark(entries[0], "clean").model_copy(update={"f": {"visit": "nowhere"}})])
    assert keeper.get("/season/2026").text == before

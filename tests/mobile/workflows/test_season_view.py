"""The Season place in words: the sentences of the report, trees with their numbers, tables behind the charts."""

from __future__ import annotations

import re

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import choice_from, kept_report, plain_choice, report_of, season_choice
from mobile.workflows.season_tables import TableName, season_table
from mobile.workflows.season_trees import tree_ledger, tree_lines
from mobile.workflows.season_view import season_view
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from mobile.workflows.tree_plans import leave_out
from mobile.workflows.trees import add_row
from shared_models.language import together
from shared_models.report_text import as_text
from shared_models.reports import SeasonReport
from shared_models.season.choice import EVERYTHING, Choice, Counted, Damage
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit
from tests.mobile.harvest import SEASON, last_harvest


@pytest.fixture
def trees(phone: PhoneStore, garden: str) -> tuple[str, ...]:
    """Twelve trees with last year's harvest."""
    made = add_row(phone, garden, 12).trees
    last_harvest(phone, made)
    return made


@pytest.fixture
def report(phone: PhoneStore, trees: tuple[str, ...]) -> SeasonReport:
    """Last year's report."""
    return report_of(phone, SEASON)


def test_every_sentence_of_the_place_stands_in_the_report_in_the_same_order(report):
    text = re.sub("[ \n]+", " ", as_text(report))
    view = season_view(report)
    lines = [line for part in view.parts for line in part.lines]
    assert [line.name in text and line.sentence in text for line in lines] == [True] * len(report.mixes)
    told = [sentence for contrast in view.contrasts for sentence in contrast.sentences]
    places = [text.index(sentence) for sentence in told]
    assert places == sorted(places) and len(view.contrasts) == len(report.contrasts) > 0
    for sentence in (*view.warnings, *view.costs, *(one for line in lines for one in line.warnings)):
        assert sentence in text


def test_trees_in_no_comparison_are_listed_with_their_reasons(report):
    told = {listed.heading: listed.sentences for listed in season_view(report).listed}
    assert told["Not recorded: in no comparison, never untreated"] == ("Lower garden: 10, 11, 12",)
    (out,) = told["Left out of comparison"]
    assert out.startswith("Lower garden: 9 · a storm broke half of its crown · 2025-09-14")
    assert told["Declared left untreated"] == ("Lower garden: 1, 2, 3 · 2025-05-20",)


def test_every_tree_has_its_line_and_a_dot_where_it_was_compared_whole(report):
    lines = tree_lines(report)
    assert [line.name.split(" ")[3] for line in lines] == [str(number) for number in range(1, 13)]
    assert [line.drawing is not None for line in lines] == [True] * 6 + [False] * 6
    assert lines[0].numbers == together("30.0 %, likely 16.7–47.9 % on this tree; 30 fruit scored")
    assert [line.numbers for line in lines[6:10]] == ["bagged and bare apart"] * 2 + [
        "left out",
        "not recorded",
    ]


def test_the_trees_of_one_line_of_the_table_are_those_that_had_it(report):
    assert [line.name for line in tree_lines(report, "granulovirus")] == [
        "Lower garden · 4",
        "Lower garden · 5",
        "Lower garden · 6",
    ]


def test_the_ledger_of_a_tree_has_its_parts_its_shares_and_why_it_is_left_out(report, trees):
    bagged = tree_ledger(report, trees[6])
    assert bagged and [name for name, *_ in bagged.alone] == [
        "bagging",
        "bare beside bagged fruit: nothing else",
    ]
    assert bagged.alone[0][1] == together("none found, up to 13.9 % is possible; 20 fruit scored")
    assert bagged.parts[1] == "picked, bare, 2025-09-14: 6 of 20 damaged, 40 in all"
    out = tree_ledger(report, trees[8])
    assert out and "a storm broke half of its crown" in out.lines[1]
    silent = tree_ledger(report, trees[9])
    assert silent and "that is not untreated" in silent.lines[1]
    assert tree_ledger(report, "no tree") is None


def test_the_table_behind_a_comparison_names_both_sides(report):
    key = next(line.key for line in report.contrasts if line.kind == "paired")
    table = season_table(report, TableName.CONTRAST, key)
    assert table.caption == "Bagged beside bare fruit on the same tree"
    assert "p values" in table.read_with
    assert sorted(row.says for row in table.rows) == ["7 0/20", "7 6/20", "8 0/20", "8 6/20"]
    assert season_table(report, TableName.CONTRAST, "gone").rows == ()


def test_the_table_of_trees_leads_to_their_ledgers(report, trees):
    table = season_table(report, TableName.TREES)
    assert [row.tree for row in table.rows] == list(trees)
    assert table.rows[0].says == "compared\npicked, 2025-09-14: 9 of 30 damaged, 60 in all"


def test_weeks_and_visits_say_none_and_not_known_apart(phone, garden):
    trap = hang_trap(phone, "1", garden).trap
    for day, moths in (("2026-05-01", 3), ("2026-05-04", 0), ("2026-05-24", 8)):
        hand = TrapRound(phone).open(trap, Told(day))
        hand.number(moths)
        hand.done()
    report = report_of(phone, "2026")
    visits = [row.says for row in season_table(report, TableName.VISITS).rows]
    assert visits == ["3 moths", "0 moths, 3 days, 0.0 a week", "8 moths, 20 days, 2.8 a week"]
    weeks = [row.says for row in season_table(report, TableName.WEEKS).rows]
    assert (
        weeks
        == ["0.0 moths a trap", "2.8 moths a trap", "2.8 moths a trap", "2.8 moths a trap"][: len(weeks)]
    )
    assert season_view(report).traps == ("Lower garden · 1: 11 moths, 23 days, 2.4 a week",)


def test_a_season_without_records_is_empty_and_says_so(phone, garden):
    assert season_view(report_of(phone, "2026")).empty


# ---------------------------------------------------------------- kept reports and choices
def test_a_report_is_kept_until_something_is_recorded(phone, trees):
    assert kept_report(phone, SEASON) is None
    first = report_of(phone, SEASON)
    kept = kept_report(phone, SEASON)
    assert kept and kept.current and kept.report is first and report_of(phone, SEASON) is first
    leave_out(phone, trees[0], "its label was lost", season=SEASON)
    older = kept_report(phone, SEASON)
    assert older and not older.current and older.report is first
    newer = report_of(phone, SEASON)
    assert newer is not first and [line.label for line in newer.trees if line.status == "left_out"] == [
        "1",
        "9",
    ]


def test_one_garden_can_be_looked_at_by_itself(phone, trees, garden):
    brook = name_garden(phone, "Brook", Hemisphere.NORTH).garden
    far = name_garden(phone, "Far", Hemisphere.SOUTH).garden
    (tree,) = add_row(phone, brook, 1, prefix="B").trees
    PickingVisit(phone, tree, Told("2025-09-20")).score(Fruit.CLEAN)
    assert len(report_of(phone, SEASON).trees) == 13
    assert [line.label for line in report_of(phone, SEASON, Choice(garden=brook)).trees] == ["B1"]
    choice = season_choice(phone, SEASON, Choice(garden=brook))
    assert choice.of.garden == brook and {name for _, name in choice.gardens} == {"Brook", "Lower garden"}
    assert season_choice(phone, SEASON, Choice(garden=far)).of.garden is None  # its seasons are others


def test_without_a_garden_there_is_nothing_to_choose(phone):
    assert season_choice(phone).season is None


def test_a_part_of_a_season_is_said_to_be_one(phone, trees):
    deep = report_of(phone, SEASON, Choice(damage=Damage.DEEP, cultivar="none such"))
    view = season_view(deep)
    assert view.chosen == (
        "One cultivar: none such.",
        "Deep entry only: stings are not counted as damage here.",
    )
    assert "deep entry. The tree" in view.caption
    assert season_view(report_of(phone, SEASON)).chosen == ()


@pytest.mark.parametrize(
    "of", [EVERYTHING, Choice(garden="g", cultivar="c"), Choice(damage=Damage.DEEP, fruit=Counted.PICKED)]
)
def test_a_choice_is_kept_in_plain_arguments(of):
    assert choice_from({"season": "2025", **plain_choice(of)}) == of


def test_arguments_of_another_release_choose_everything():
    assert choice_from({"damage": "of another kind"}) == EVERYTHING

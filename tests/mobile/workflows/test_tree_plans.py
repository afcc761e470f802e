"""What is said about whole trees: left untreated, left out, planned, compared."""

import re

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import undo
from mobile.workflows.first_start import name_garden
from mobile.workflows.job import method_choices, record_job
from mobile.workflows.moments import Told
from mobile.workflows.season import report_of
from mobile.workflows.tree_plans import (
    declare_untreated,
    leave_out,
    nothing_recorded,
    own_method,
    plan_contrast,
    plan_tree,
)
from mobile.workflows.trees import add_row, say_same
from shared_models.errors import BadInputError
from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod, PlannedContrast
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import METHODS, Reach
from tests.mobile.workflows.exchanges import hears


def test_trees_are_declared_left_untreated_once(phone: PhoneStore, row: tuple[str, ...]) -> None:
    assert nothing_recorded(phone, row[0], "2026")
    assert len(declare_untreated(phone, row[:2]).records) == 2
    assert len(declare_untreated(phone, row[:3]).records) == 1
    assert not nothing_recorded(phone, row[0], "2026") and nothing_recorded(phone, row[5], "2026")
    assert {line.season for line in phone.all(PlanLine)} == {"2026"}


def test_declaring_the_other_record_of_one_tree_says_nothing_new(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    say_same(phone, row[0], row[1])
    declare_untreated(phone, [row[0]])
    assert declare_untreated(phone, [row[1]]).records == declare_untreated(phone, [row[0]]).records == ()


def test_a_tree_that_something_was_done_to_is_declared_and_said_to_count_as_treated(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    record_job(phone, "netting", trees=[row[0]])
    declared = declare_untreated(phone, row[:2])
    assert len(declared.records) == 2
    assert declared.notes == (
        "Something is recorded that was done to tree 1 in 2026; it counts as treated as long as that stands.",
    )


def test_a_garden_in_the_south_is_planned_for_both_years(phone: PhoneStore) -> None:
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    tree = add_row(phone, south, 1).trees[0]
    declare_untreated(phone, [tree])
    assert [line.season for line in phone.all(PlanLine)] == ["2026/27"]
    assert [line.status for line in report_of(phone, "2026/27").trees] == ["not_scored"]


def test_a_tree_left_out_is_listed_with_its_reason_and_can_be_taken_back(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    (left_out,) = leave_out(phone, row[0], "half of it broke in a storm").records
    assert [line.reason for line in report_of(phone, "2026").left_out] == ["half of it broke in a storm"]
    undo(phone, left_out)
    assert report_of(phone, "2026").left_out == []
    with pytest.raises(BadInputError) as refused:
        leave_out(phone, row[0], "  ")
    assert refused.value.field == "reason"


def test_a_plan_line_keeps_mix_part_and_block(phone: PhoneStore, tree: str) -> None:
    plan_tree(phone, tree, ["bagging", "granulovirus"], block="south side", season="2027")
    (line,) = phone.all(PlanLine)
    assert (line.methods, line.block, line.season, line.place) == (
        ["bagging", "granulovirus"],
        "south side",
        "2027",
        "whole",
    )


def test_a_plan_for_a_day_that_tells_no_season_asks_for_it(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="choose the season"):
        plan_tree(phone, tree, ["bagging"], told=Told(when="unknown"))
    plan_tree(phone, tree, ["bagging"], told=Told(when="unknown", season="2026"))
    assert phone.all(PlanLine)[0].season == "2026"


def test_a_contrast_is_named_beforehand_and_half_a_contrast_is_doubted(phone: PhoneStore) -> None:
    assert plan_contrast(phone, "2026", with_method="bagging").doubts == ()
    assert plan_contrast(phone, "2026", a=["bagging"], b=[]).doubts == ()
    assert [doubt.field for doubt in plan_contrast(phone, "2026", a=["bagging"]).doubts] == ["a"]
    assert len(phone.all(PlannedContrast)) == 3


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Hens under trees", "hens_under_trees"),
        ("Netting", "netting"),
        ("🐔", "own"),
        ("2 sprays", "own_2_sprays"),
        ("Öl", "ol"),
        ("Чеснок", "own"),
        ("大蒜", "own"),
        ("٣ x", "x"),
        ("a very long name of a method that nobody can read to its end", "a_very_long_name_of_a_method_that"),
    ],
)
def test_an_own_method_gets_a_key_from_its_name_and_its_id(phone: PhoneStore, name: str, stem: str) -> None:
    key = own_method(phone, name, Reach.GARDEN)
    (method,) = phone.all(OwnMethod)
    assert (method.name, method.key, key) == (name, key, f"{stem}_{method.rec[-6:]}")
    assert re.fullmatch("[a-z][a-z0-9_]{0,39}", key)


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ("Чеснок", "Крапива"),
        ("Öl", "Ál"),
        ("Hens", "Hens!"),
        ("大蒜", "🐔"),
        ("x" * 59 + "1", "x" * 59 + "2"),
    ],
)
def test_methods_that_two_phones_name_while_apart_stay_two(
    phone: PhoneStore, neighbour: PhoneStore, row: tuple[str, ...], here: str, there: str
) -> None:
    hears(neighbour, phone)
    record_job(phone, own_method(phone, here, Reach.TREE), trees=[row[0]])
    record_job(neighbour, own_method(neighbour, there, Reach.TREE), trees=[row[1]])
    hears(phone, neighbour)
    choices = {method.key: method.name for method in method_choices(phone)}
    done = {job.trees[0]: choices[job.method] for job in phone.all(Job)}
    assert done == {row[0]: here, row[1]: there}


def test_a_method_that_is_named_again_is_the_same_method(phone: PhoneStore) -> None:
    first = own_method(phone, "Чеснок", Reach.TREE)
    assert own_method(phone, " чеснок ", Reach.TREE, least_times=3) == first
    assert [method.least_times for method in phone.all(OwnMethod)] == [3]
    assert own_method(phone, "Крапива", Reach.TREE) != first


def test_what_counts_as_having_had_a_known_method_can_be_changed(phone: PhoneStore, tree: str) -> None:
    own_method(phone, "netting", Reach.TREE, key="netting", least_times=2)
    own_method(phone, "netting", Reach.TREE, key="netting", least_times=3)
    (method,) = phone.all(OwnMethod)
    assert method.least_times == 3 and METHODS["netting"].least_times == 1

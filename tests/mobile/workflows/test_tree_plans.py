"""What is said about whole trees: left untreated, left out, planned, compared."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.corrections import correct, move_to_tree, undo
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.first_start import name_garden
from mobile.workflows.job import method_choices, record_job
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import report_of
from mobile.workflows.spray import FromLabel, SprayTold, cautions
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
from shared_models.vocabulary import METHODS, Fruit, Reach
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


@dataclass
class Halves:
    """A phone with a tree on each half of the earth, by the season that is not its own."""

    phone: PhoneStore
    south: str
    north: str

    def tree_without(self, season: str) -> str:
        """The tree whose garden has no such season."""
        return self.south if season == "2026" else self.north


@pytest.fixture
def halves(phone: PhoneStore, tree: str) -> Halves:
    """Trees south and north."""
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    return Halves(phone, add_row(phone, south, 1).trees[0], tree)


TELLING: dict[str, Callable[[PhoneStore, str, str], object]] = {
    "untreated": lambda phone, tree, season: declare_untreated(phone, [tree], season=season),
    "untreated, told": lambda phone, tree, season: declare_untreated(phone, [tree], told=Told(season=season)),
    "planned": lambda phone, tree, season: plan_tree(phone, tree, ["bagging"], season=season),
    "left out": lambda phone, tree, season: leave_out(phone, tree, "broken", season=season),
    "picked": lambda phone, tree, season: PickingVisit(phone, tree, Told(season=season)).score(Fruit.CLEAN),
    "bagged": lambda phone, tree, season: BaggingRound(phone, Told(season=season)).open(tree).bag(),
    "drops": lambda phone, tree, season: DropsVisit(phone, tree, Told(season=season)).none(),
    "job": lambda phone, tree, season: record_job(phone, "netting", trees=[tree], told=Told(season=season)),
    "spray": lambda phone, tree, season: cautions(
        phone, SprayTold("kaolin_film", [FromLabel("One")], trees=[tree], told=Told(season=season))
    ),
}


@pytest.mark.parametrize("telling", TELLING.values(), ids=TELLING.keys())
@pytest.mark.parametrize(
    ("season", "own"),
    [
        ("2026", "“2026” is no season of Far garden: over those days it has 2025/26 and 2026/27."),
        ("2026/27", "“2026/27” is no season of Lower garden: over those days it has 2026 and 2027."),
    ],
)
def test_a_season_of_the_other_half_of_the_earth_is_refused_before_anything_is_stored(
    halves: Halves, telling: Callable[[PhoneStore, str, str], object], season: str, own: str
) -> None:
    before = len(halves.phone.history(500))
    with pytest.raises(BadInputError) as refused:
        telling(halves.phone, halves.tree_without(season), season)
    assert refused.value.field == "season" and str(refused.value).startswith(own)
    assert len(halves.phone.history(500)) == before
    other = halves.north if season == "2026" else halves.south
    telling(halves.phone, other, season)


def test_one_season_for_trees_of_both_halves_is_refused_for_all(halves: Halves) -> None:
    with pytest.raises(BadInputError, match="no season of Far garden"):
        declare_untreated(halves.phone, [halves.north, halves.south], season="2026")
    assert halves.phone.all(PlanLine) == []


def test_no_correction_gives_a_record_to_a_season_of_the_other_half(halves: Halves) -> None:
    phone = halves.phone
    (line,) = declare_untreated(phone, [halves.south]).records
    job = record_job(phone, "netting", trees=[halves.south]).job
    for record in (line, job):
        with pytest.raises(BadInputError, match="no season of Far garden"):
            correct(phone, record, "the wrong year", season="2026")
    correct(phone, line, "the wrong year", season="2025/26")
    visit = PickingVisit(phone, halves.north, Told(season="2025"))
    visit.score(Fruit.CLEAN)
    with pytest.raises(BadInputError, match="no season of Far garden"):
        move_to_tree(phone, str(visit.visit), halves.south, "the other one")


@pytest.mark.parametrize("season", ["26", "2026/28", "next"])
def test_what_names_no_season_is_refused(phone: PhoneStore, tree: str, season: str) -> None:
    with pytest.raises(BadInputError, match="names no season") as refused:
        declare_untreated(phone, [tree], season=season)
    assert refused.value.field == "season" and phone.all(PlanLine) == []


def test_a_declaration_heard_for_the_wrong_half_stops_nobody(halves: Halves) -> None:
    """Another phone may not have known the garden yet when it took the season by hand."""
    phone = halves.phone
    phone.record(
        PlanLine.kind,
        {"tree": halves.south, "season": "2026", "left_untreated": True, "when": "2026-09-01"},
    )
    declare_untreated(phone, [halves.north], season="2026")
    assert len(declare_untreated(phone, [halves.south], season="2026/27").records) == 1
    assert [report_of(phone, key).season for key in ("2026", "2026/27")] == ["2026", "2026/27"]


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

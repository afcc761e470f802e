"""The rows of a season do not change with how its records came about; random seasons, and one change each."""

import os
import random
import time
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.entries import Entry
from tests.shared_models.season.seasons import SmallSeason, keys, mix, report_of

numbers = st.integers(min_value=0, max_value=60)


@st.composite
def random_seasons(draw: st.DrawFn) -> list[Entry]:
    """A season of up to six trees with jobs, bags, drops and picks."""
    season = SmallSeason()
    trees = season.trees(draw(st.integers(1, 6)))
    for tree in trees:
        treatment = draw(st.sampled_from(["silence", "untreated", "granulovirus", "bagged", "partly"]))
        if treatment == "untreated":
            season.untreated(tree)
        elif treatment == "bagged":
            season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=draw(numbers), left=3))
        elif treatment != "silence":
            season.job("granulovirus", tree, partly=treatment == "partly")
        for day in draw(st.lists(st.sampled_from(["2026-09-01", "2026-09-02", "2026-09-20"]), max_size=3)):
            damaged, clean = draw(numbers), draw(numbers)
            total = draw(st.one_of(st.none(), st.integers(120, 400)))
            cover = draw(st.sampled_from(["none", "bagged", "bare"]))
            season.picked(tree, damaged + clean, damaged, day, cover, total)
        if draw(st.booleans()):
            fallen = draw(numbers)
            season.drops(tree, fallen, draw(st.integers(0, fallen)))
    return season.entries


@given(entries=random_seasons(), seed=st.integers(0, 2**32))
@settings(max_examples=60, deadline=None)
def test_order_and_repetition_change_nothing(entries: list[Entry], seed: int) -> None:
    again = entries + random.Random(seed).choices(entries, k=len(entries))
    random.Random(seed).shuffle(again)
    assert report_of(again).model_dump_json() == report_of(entries).model_dump_json()


@given(entries=random_seasons())
@settings(max_examples=60, deadline=None)
def test_no_rate_leaves_its_range_and_no_range_leaves_nought_to_one(entries: list[Entry]) -> None:
    for line in report_of(entries).mixes:
        for rate in (line.picked, line.picked_deep, line.all_fruit):
            assert rate is None or 0 <= rate.low <= rate.rate <= rate.high <= 1


@given(damaged=numbers, clean=st.integers(1, 60), split=st.integers(0, 60))
@settings(max_examples=40, deadline=None)
def test_splitting_a_visit_in_two_changes_no_row(damaged: int, clean: int, split: int) -> None:
    whole, parted = SmallSeason(), SmallSeason()
    for season in (whole, parted):
        season.untreated(*season.trees(1))
    first = min(split, damaged)
    (tree,) = [entry for entry in whole.entries if entry.kind == "tree"]
    whole.picked(tree, damaged + clean, damaged)
    (tree,) = [entry for entry in parted.entries if entry.kind == "tree"]
    pick = parted.keep(parted.phone.pick(tree, when="2026-09-10", all_scored="yes"))
    parted.scored(tree, first, first, "2026-09-10", pick=pick)
    parted.scored(tree, damaged + clean - first, damaged - first, "2026-09-10", pick=pick)
    assert rates(whole) == rates(parted)


@given(damaged=st.integers(0, 10), clean=st.integers(1, 10))
@settings(max_examples=25, deadline=None)
def test_fruit_tallied_one_by_one_equal_a_number_at_once(damaged: int, clean: int) -> None:
    at_once, tallied = SmallSeason(), SmallSeason()
    for season in (at_once, tallied):
        season.untreated(*season.trees(1))
    at_once.picked(tree_of(at_once), damaged + clean, damaged, all_scored="yes")
    pick = tallied.keep(tallied.phone.pick(tree_of(tallied), when="2026-09-10", all_scored="yes"))
    visit = tallied.keep(tallied.phone.visit(tree_of(tallied), when="2026-09-10", pick=pick.rec))
    for mark in ["deep_entry"] * damaged + ["clean"] * clean:
        tallied.keep(tallied.phone.mark(visit, mark))
    assert rates(at_once) == rates(tallied)


def test_the_unit_of_weight_changes_no_row() -> None:
    by_count, by_weight = SmallSeason(), SmallSeason()
    told: list[tuple[SmallSeason, dict[str, Any]]] = [
        (by_count, {"total": 150}),
        (by_weight, {"weight_kg": 25, "fruit_per_kg": 6}),
    ]
    for season, pick in told:
        season.untreated(*season.trees(1))
        season.drops(tree_of(season), 40, 30)
        season.picked(tree_of(season), 30, 3, all_scored="no", **pick)
    assert rates(by_count) == rates(by_weight)


def test_two_records_of_one_tree_become_one_and_come_apart_again() -> None:
    season = SmallSeason()
    season.untreated(*season.trees(1))
    tree = tree_of(season)
    season.picked(tree, 20, 5, total=100, all_scored="no")
    alone = rates(season)
    twin = season.keep(season.phone.tree(season.garden, "1"))
    season.scored(twin, 10, 1, "2026-09-10")
    assert season.report().label_clashes[0].label == "1"
    link = season.keep(season.phone.same_tree(twin, tree))
    merged = mix(season.report(), "untreated")
    assert merged.picked.trees == 1 and merged.picked.scored == 30 and not season.report().label_clashes
    assert season.report().merged[0].tree == min(tree.rec, twin.rec)
    season.keep(season.phone.undoes(link))
    assert rates(season) == alone and season.report().label_clashes


@pytest.fixture
def reader_in_auckland() -> Iterator[None]:
    before = os.environ.get("TZ")
    os.environ["TZ"] = "Pacific/Auckland"
    time.tzset()
    yield
    os.environ.pop("TZ")
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()


def test_the_readers_zone_changes_nothing(reader_in_auckland: None) -> None:
    season = SmallSeason()
    season.untreated(*season.trees(1))
    season.picked(tree_of(season), 30, 3, day="2026-12-31")
    visit = season.phone.visit(tree_of(season), when="2026-12-31T23:30:00+01:00")
    season.entries += [visit, season.phone.number(visit, 10, "clean")]
    assert mix(season.report(), "untreated").picked.scored == 40
    assert season.report("2027").mixes == []


def test_north_and_south_never_share_a_table() -> None:
    north, south = SmallSeason("north"), SmallSeason("south")
    for season, key in ((north, "2026"), (south, "2025/26")):
        season.untreated(*season.trees(1), season=key, day="2026-02-01")
        season.picked(tree_of(season), 30, 3, day="2026-03-10")
    both = north.entries + south.entries
    assert keys(report_of(both, "2026")) == keys(report_of(both, "2025/26")) == ["untreated"]
    assert [len(report_of(both, key).trees) for key in ("2026", "2025/26", "2026/27")] == [1, 1, 1]
    assert report_of(both, "2026/27").mixes == []


def test_a_record_of_an_unknown_garden_or_day_is_listed_and_in_no_table() -> None:
    season = SmallSeason()
    season.untreated(*season.trees(1))
    season.picked(tree_of(season), 30, 3)
    season.scored(tree_of(season), 30, 30, "unknown")
    stray = season.phone.visit(
        season.phone.makes("garden", {"name": "elsewhere", "hemisphere": "north"}), when="2026-09-01"
    )
    season.entries.append(stray)
    report = season.report()
    assert report.mixes[0].picked.scored == 30
    assert {line.when for line in report.unplaced} == {"unknown", "2026-09-01"}


def test_a_span_that_crosses_new_year_waits_for_a_person_to_choose() -> None:
    season = SmallSeason()
    season.untreated(*season.trees(1))
    visit = season.scored(tree_of(season), 30, 3, "2026-12-20/2027-01-05")
    assert season.report().mixes == [] and len(season.report().unplaced) == 1
    season.keep(season.phone.edits(visit, season="2026"))
    assert mix(season.report(), "untreated").picked.scored == 30


def test_a_season_of_the_other_hemisphere_given_by_hand_is_listed_and_in_no_table() -> None:
    season = SmallSeason("south")
    season.trees(1)
    visit = season.scored(tree_of(season), 30, 3, "2026-03-01")
    season.keep(season.phone.edits(visit, season="2026"))
    assert [line.rec for line in season.report("2026").unplaced] == [visit.rec]
    assert season.report("2025/26").scored.clean == 0


def test_a_garden_moved_to_the_other_half_lists_what_was_said_for_its_old_seasons() -> None:
    season = SmallSeason()
    season.untreated(*season.trees(1))
    season.picked(tree_of(season), 30, 3)
    season.keep(season.phone.edits(season.garden, hemisphere="south"))
    assert {line.kind for line in season.report("2026").unplaced} == {"plan_line"}
    assert season.report("2026/27").scored.clean == 27


def test_a_note_needs_no_season() -> None:
    season = SmallSeason()
    season.keep(season.phone.makes("note", {"text": "first frost", "when": "2026-10-20"}))
    assert season.report().unplaced == []


def tree_of(season: SmallSeason) -> Entry:
    """The first tree of a small season."""
    return next(entry for entry in season.entries if entry.kind == "tree")


def rates(season: SmallSeason) -> list[tuple[object, ...]]:
    """The season table without the ids of trees."""
    return [(line.mix, line.headline, line.picked, line.all_fruit) for line in season.report().mixes]

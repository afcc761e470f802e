"""Trees: rows in one go, labels old and new, walking order, and two records that are one tree."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.tree_list import TreeList
from mobile.workflows.trees import (
    add_graft,
    add_row,
    add_tree,
    bring_back,
    edit_tree,
    place_after,
    put_in_order,
    rename_tree,
    retire_tree,
    say_same,
    take_back_same,
)
from mobile.workflows.versions import versions
from shared_models.errors import BadInputError
from shared_models.records.gardens import Graft, Tree
from tests.mobile.workflows.exchanges import hears


def labels(phone: PhoneStore, garden: str | None = None) -> list[str]:
    """The labels of standing trees in walking order."""
    return [line.label for line in TreeList(phone).standing(garden)]


def test_twelve_trees_in_a_row_stand_in_walking_order_with_their_cultivar(
    phone: PhoneStore, garden: str
) -> None:
    added = add_row(phone, garden, 12, prefix="A", first=3, cultivar="Early Red")
    assert labels(phone) == [f"A{number}" for number in range(3, 15)]
    assert TreeList(phone).line(added.trees[0]).cultivars == ("Early Red",)
    assert len(phone.all(Graft)) == 12 and added.notes == ()


def test_a_second_row_comes_after_the_first(phone: PhoneStore, garden: str) -> None:
    add_row(phone, garden, 2, prefix="B")
    add_row(phone, garden, 2, prefix="A")
    assert labels(phone) == ["B1", "B2", "A1", "A2"]


def test_a_row_is_added_whole_or_not_at_all(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError) as refused:
        add_row(phone, garden, 5, year_planted=12)
    assert refused.value.field == "year_planted"
    assert phone.all(Tree) == [] and phone.all(Graft) == []


@pytest.mark.parametrize("count", [0, -1, 501, 10**30])
def test_a_row_of_no_or_far_too_many_trees_is_refused(phone: PhoneStore, garden: str, count: int) -> None:
    with pytest.raises(BadInputError, match="from 1 to 500") as refused:
        add_row(phone, garden, count)
    assert refused.value.field == "count"


@pytest.mark.parametrize("label", ["🍏", "N° 7 «old»", "x" * 60])
def test_any_label_that_can_be_painted_is_taken(phone: PhoneStore, garden: str, label: str) -> None:
    add_tree(phone, label, garden)
    assert labels(phone) == [label]


@pytest.mark.parametrize("label", ["", "  ", "x" * 61])
def test_an_empty_or_endless_label_is_refused_with_its_field(
    phone: PhoneStore, garden: str, label: str
) -> None:
    with pytest.raises(BadInputError) as refused:
        add_tree(phone, label, garden)
    assert refused.value.field == "label" and phone.all(Tree) == []


def test_a_double_label_is_shown_and_never_refused(phone: PhoneStore, garden: str) -> None:
    add_tree(phone, "7", garden)
    second = add_tree(phone, "7", garden)
    assert "labelled 7 too" in second.notes[0]
    assert [line.double for line in TreeList(phone).standing()] == [True, True]


def test_an_old_label_is_still_found(phone: PhoneStore, row: tuple[str, ...]) -> None:
    rename_tree(phone, row[6], "Big one")
    trees = TreeList(phone)
    assert [line.label for line in trees.search("7")] == ["Big one"]
    assert trees.earlier_labels(row[6]) == ("7",)
    assert [line.label for line in trees.search("big")] == ["Big one"]


def test_search_finds_the_label_itself_first_and_cultivars_too(phone: PhoneStore, garden: str) -> None:
    add_row(phone, garden, 12)
    add_tree(phone, "W", garden, cultivar="Winter 1")
    assert [line.label for line in TreeList(phone).search("1")] == ["1", "10", "11", "12", "W"]
    assert TreeList(phone).search("nothing like it") == []


def test_an_edit_keeps_what_it_replaced(phone: PhoneStore, row: tuple[str, ...]) -> None:
    edit_tree(phone, row[0], size="dwarf")
    changed = edit_tree(phone, row[0], size="full_size", bearing_from=2020, year_planted=2024)
    assert [doubt.field for doubt in changed.doubts] == ["bearing_from"]
    made, first, second = versions(phone, row[0])
    assert ("size", "dwarf", "full_size") in [(one.field, one.before, one.after) for one in second.changes]
    assert phone.entries_of(row[0])[2].prev == {"size": first.entry}
    assert made.changes[0].before is None


def test_a_field_that_a_tree_does_not_have_is_refused(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="colour"):
        edit_tree(phone, tree, colour="green")


def test_a_retired_tree_leaves_the_walk_and_comes_back(phone: PhoneStore, garden: str) -> None:
    first, second = add_row(phone, garden, 2).trees
    retire_tree(phone, first, date(2026, 9, 1))
    assert labels(phone) == ["2"] and phone.get(Tree, first).removed_on == "2026-09-01"  # type: ignore[union-attr]
    bring_back(phone, first)
    assert labels(phone) == ["1", "2"]
    assert second in {line.tree for line in TreeList(phone).all()}


def test_a_tree_may_carry_several_cultivars(phone: PhoneStore, tree: str) -> None:
    graft = add_graft(phone, tree, "Late Green", date(2025, 4, 2))
    assert TreeList(phone).line(tree).cultivars == ("Early Red", "Late Green")
    assert phone.get(Graft, graft).grafted_on == "2025-04-02"  # type: ignore[union-attr]


def test_walking_order_follows_the_feet(phone: PhoneStore, garden: str) -> None:
    one, two, three = add_row(phone, garden, 3).trees
    put_in_order(phone, [three, one, two])
    assert labels(phone) == ["3", "1", "2"]
    place_after(phone, three, one)
    assert labels(phone) == ["1", "3", "2"]
    place_after(phone, two, None)
    assert labels(phone) == ["2", "1", "3"]


def test_only_what_changes_its_place_is_written(phone: PhoneStore, row: tuple[str, ...]) -> None:
    before = len(phone.history(1000))
    put_in_order(phone, [row[1], row[0], *row[2:]])
    assert len(phone.history(1000)) - before == 2


def test_two_phones_that_added_the_same_row_say_which_trees_are_one(
    phone: PhoneStore, neighbour: PhoneStore, garden: str
) -> None:
    hears(neighbour, phone)
    mine = add_tree(phone, "7", garden).trees[0]
    theirs = add_tree(neighbour, "7", garden, cultivar="Early Red").trees[0]
    hears(phone, neighbour)
    assert labels(phone) == ["7", "7"]
    say_same(phone, mine, theirs)
    (line,) = TreeList(phone).standing()
    assert line.tree == min(mine, theirs) and line.same_as == (max(mine, theirs),)
    assert line.cultivars == ("Early Red",) and not line.double
    assert take_back_same(phone, mine) == 1
    assert labels(phone) == ["7", "7"]


def test_saying_the_same_twice_says_it_once_and_a_tree_is_not_itself_twice(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    assert say_same(phone, row[0], row[1]) == say_same(phone, row[1], row[0])
    with pytest.raises(BadInputError, match="always the same as itself"):
        say_same(phone, row[0], row[0])


def test_a_tree_of_a_garden_that_is_not_here_is_refused(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="garden is not on this phone"):
        add_tree(phone, "1", tree)

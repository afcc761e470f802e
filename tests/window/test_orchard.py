"""Trees and traps as things, with a finger: found, changed, ordered, said to be one, taken out and brought back."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.traps import traps_in_walking_order
from mobile.workflows.tree_list import TreeList
from mobile.workflows.trees import rename_tree, say_same
from shared_models.language import together
from shared_models.records.gardens import Graft, Note, Tree
from shared_models.records.traps import Placement, Trap
from tests.window.invented import TYPE_SIZES, Invented, open_at, stored, used
from tests.window.look import complaints


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees and four traps."""
    return used(tmp_path / "data")


def labels(invented: Invented) -> list[str]:
    """The trees of the garden in walking order, as they are on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = [line.label for line in TreeList(store).standing(invented.garden)]
    store.close()
    return found


def test_trees_are_reached_from_today_and_found_by_an_earlier_label(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    rename_tree(store, invented.trees[4], "North gate")
    store.close()
    app = open_at(phone, invented, "today", (360, 640))
    phone.touch("Trees and traps")
    phone.touch("Search")
    phone.fill("Label, earlier label or cultivar", "north")
    phone.app.frame.sheet.paper.scroll_y = 0
    phone.touch("Show all")
    phone.touch("Search")
    phone.fill("Label, earlier label or cultivar", "5")
    phone.key("tab")
    phone.key("enter")
    phone.settle()
    phone.touch("Tree North gate")
    assert app.frame.way.here.about == {"tree": invented.trees[4]}
    assert phone.sees("Labelled 5 before.")


def test_the_walking_order_is_typed_by_numbers_and_taken_back(phone, invented):
    open_at(phone, invented, "orchard", (360, 640))
    phone.touch("Order")
    phone.fill("Labels such as 1-6, 12-7, 13", "1-3, 12-10")
    phone.touch("Walk in this order")
    assert labels(invented) == ["1", "2", "3", "12", "11", "10", "4", "5", "6", "7", "8", "9"]
    phone.touch("Undo")
    assert labels(invented) == [str(number) for number in range(1, 13)]


def test_a_label_that_is_not_there_changes_no_order(phone, invented):
    open_at(phone, invented, "orchard", (360, 640))
    phone.touch("Order")
    phone.fill("Labels such as 1-6, 12-7, 13", "1, 99")
    phone.touch("Walk in this order")
    assert phone.sees("No standing tree here is labelled 99")
    assert labels(invented)[:2] == ["1", "2"]


def test_one_tree_is_put_behind_another(phone, invented):
    open_at(phone, invented, "tree_page", (360, 640))
    assert phone.sees("after tree 6")
    phone.touch("Place in walking order")
    phone.touch("After another tree")
    phone.fill("Label or cultivar", "2")
    phone.touch("Tree 2")
    assert labels(invented)[:4] == ["1", "2", "7", "3"] and phone.sees("after tree 2")
    phone.touch("Undo")
    assert labels(invented)[5:8] == ["6", "7", "8"]


def test_what_is_noted_of_a_tree_is_changed_and_taken_back(phone, invented):
    open_at(phone, invented, "tree_page", (412, 892))
    phone.touch("Change what is noted")
    phone.fill("What is written on it?", "7b")
    phone.fill("Year planted", "1998")
    phone.touch("Pear")
    phone.touch("Semi-dwarf")
    phone.touch("Keep this")
    tree = stored(invented, Tree, invented.trees[6])
    assert (tree.label, tree.year_planted, tree.species, tree.size) == ("7b", 1998, "PYUCO", "semi_dwarf")
    assert phone.sees("Tree 7b") and phone.sees("planted 1998") and phone.sees("Labelled 7 before.")
    phone.touch("Undo")
    tree = stored(invented, Tree, invented.trees[6])
    assert (tree.label, tree.year_planted, tree.species, tree.size) == ("7", None, None, None)


def test_cultivars_are_added_renamed_and_cut_off(phone, invented):
    open_at(phone, invented, "tree_page", (412, 892))
    phone.touch("Add a cultivar")
    phone.fill("Name", "Late Green")
    phone.touch("Keep this name")
    assert phone.sees("Late Green is noted on this tree.")
    phone.touch("Early Red")
    phone.fill("Name", "Early Red Spur")
    phone.touch("Keep this name")
    phone.touch("Late Green")
    phone.touch("It is no longer on this tree")
    store = PhoneStore(invented.settings.file, invented.clock)
    here = {graft.cultivar: graft.retired for graft in store.all(Graft) if graft.tree == invented.trees[6]}
    store.close()
    assert here == {"Early Red Spur": False, "Late Green": True}


def test_two_records_are_said_to_be_one_tree_and_taken_apart_again(phone, invented):
    open_at(phone, invented, "tree_page", (360, 640))
    phone.touch("It is the same tree as another")
    phone.fill("Label or cultivar", "8")
    phone.touch("Tree 8")
    assert len(labels(invented)) == 11 and phone.sees("Two records are said to be this one tree.")
    phone.touch("They are two trees after all")
    assert len(labels(invented)) == 12
    phone.touch("Undo")
    assert len(labels(invented)) == 11


@pytest.mark.parametrize("opened", [6, 7])
def test_a_tree_of_two_records_is_taken_out_whichever_of_them_was_opened(phone, invented, opened):
    store = PhoneStore(invented.settings.file, invented.clock)
    say_same(store, invented.trees[6], invented.trees[7])
    store.close()
    app = open_at(phone, invented, "orchard", (360, 640))
    app.frame.go("tree_page", tree=invented.trees[opened])
    phone.settle()
    phone.touch("They are two trees after all")
    phone.touch("Undo")
    assert len(labels(invented)) == 11
    phone.touch("It is no longer there")
    phone.touch("Don't know")
    assert len(labels(invented)) == 10 and phone.sees("It is no longer there;")


def test_a_tree_that_was_taken_out_stays_on_the_list_and_comes_back(phone, invented):
    open_at(phone, invented, "tree_page", (360, 640))
    phone.touch("It is no longer there")
    phone.touch("Another day")
    phone.touch("A week earlier")
    phone.touch("This day")
    assert stored(invented, Tree, invented.trees[6]).removed_on == "2026-05-28"
    assert "7" not in labels(invented)
    phone.app.frame.go("orchard")
    phone.settle()
    phone.touch("Tree 7")
    phone.touch("It stands there again")
    assert "7" in labels(invented)


def test_a_note_about_a_tree_names_it(phone, invented):
    open_at(phone, invented, "tree_page", (360, 640))
    phone.touch("Write a note about it")
    assert phone.sees("About tree 7")
    phone.fill("What do you want to remember?", "Canker on the south side")
    phone.touch("Keep this note")
    store = PhoneStore(invented.settings.file, invented.clock)
    (note,) = store.all(Note)
    store.close()
    assert note.about == invented.trees[6] and phone.app.frame.way.here.screen == "tree_page"


def test_the_history_of_a_tree_is_one_touch_away(phone, invented):
    open_at(phone, invented, "tree_page", (360, 640))
    phone.touch("History of this tree")
    assert phone.sees("Shown: tree 7")


def test_a_trap_is_renamed_moved_and_ordered(phone, invented):
    open_at(phone, invented, "trap_page", (412, 892))
    phone.touch("Give it another label")
    phone.fill("Label", "2a")
    phone.touch("Keep this label")
    assert stored(invented, Trap, invented.traps[1]).label == "2a"
    phone.touch("It hangs elsewhere now")
    phone.fill("Where does it hang?", "Beside the barn")
    phone.fill("How high, in m?", "2,5")
    phone.touch("It hangs there")
    assert phone.sees("Beside the barn") and phone.sees(together("2.5 m high"))
    phone.touch("Undo")
    store = PhoneStore(invented.settings.file, invented.clock)
    here = [one for one in store.all(Placement) if one.trap == invented.traps[1]]
    store.close()
    assert [(one.place, one.to_day) for one in here] == [(None, None)]
    phone.touch("Place in walking order")
    phone.touch("First in its garden")
    store = PhoneStore(invented.settings.file, invented.clock)
    order = [line.label for line in traps_in_walking_order(store, invented.garden)]
    store.close()
    assert order == ["2a", "1", "3"]


def test_trees_and_traps_are_reached_from_where_they_are_used(phone, invented):
    app = open_at(phone, invented, "traps", (360, 640))
    phone.touch("Change traps")
    assert phone.sees("Trap at the gate") and phone.sees("Hang a trap")
    app.frame.go("bags")
    phone.settle()
    phone.touch("Find a tree")
    phone.touch("Add or change trees")
    assert phone.sees("Tree 1") and phone.sees("Add trees")


def test_a_trap_is_taken_down_and_hung_again(phone, invented):
    open_at(phone, invented, "orchard", (360, 640))
    phone.touch("Traps")
    phone.touch("Trap 2")
    phone.touch("Take it down today")
    assert stored(invented, Trap, invented.traps[1]).retired
    phone.touch("Back")
    assert phone.find("Taken down")
    phone.touch("Trap 2")
    phone.touch("Hang it again")
    assert not stored(invented, Trap, invented.traps[1]).retired


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize(
    ("screen", "path"),
    [
        ("orchard", ("Search",)),
        ("orchard", ("Order",)),
        ("tree_page", ("Place in walking order",)),
        ("tree_page", ("It is no longer there",)),
        ("trap_page", ("It hangs elsewhere now",)),
        ("trap_page", ("Place in walking order",)),
    ],
)
def test_every_sheet_of_trees_and_traps_can_be_read_and_touched(phone, tmp_path, type_size, screen, path):
    open_at(phone, used(tmp_path / "data", "sun", type_size), screen, (360, 640))
    for words in path:
        phone.touch(words)
    phone.frames(4)
    assert complaints() == []

"""At picking: what else is noted of one fruit, and trees with several cultivars, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.fruit_details import NOTHING_NOTED, FruitDetail, detail_of
from mobile.workflows.trees import add_graft
from shared_models.vocabulary import EntryPoint
from tests.window.invented import Invented, shown_screen, used
from tests.window.look import complaints
from tests.window.test_picking import BARE_TREE, at_tree, invented, scored, sheet_touch, undo, visits_in

__all__ = ["invented"]
MORE = "More of the last fruit"


def noted(invented: Invented) -> list[FruitDetail]:
    """What is noted on disk of the fruit of today, in the order they were scored."""
    store = PhoneStore(invented.settings.file, invented.clock)
    (visit,) = visits_in(store, invented.trees[BARE_TREE])
    found = [detail_of(mark) for mark in store.few.marks_of(visit.rec)]
    store.close()
    return found


def grafted(invented: Invented) -> None:
    """A second cultivar, with a long name, on the tree that is scored."""
    store = PhoneStore(invented.settings.file, invented.clock)
    add_graft(store, invented.trees[BARE_TREE], "Late Green of the upper orchard")
    store.close()


def test_what_was_seen_of_the_last_fruit_is_noted_and_the_next_is_one_touch(phone, invented):
    at_tree(phone, invented)
    phone.touch("Deep entry")
    phone.touch(MORE)
    phone.touch("at the calyx")
    phone.touch("Larva found")
    phone.touch("Cut open")
    phone.touch("Keep this of the fruit")
    assert noted(invented) == [FruitDetail(EntryPoint.CALYX, True, True)]
    assert phone.sees("at the calyx, larva found, cut open")
    phone.touch("Deep entry")
    assert noted(invented) == [FruitDetail(EntryPoint.CALYX, True, True), NOTHING_NOTED]
    assert phone.sees("side, stem or calyx; larva") and scored(invented) == {"deep_entry": 2}
    phone.touch("Done, next tree")
    assert phone.sees("Noted of single fruit: 1 at the calyx, a larva in 1, 1 cut open.")


def test_a_note_is_undone_and_its_fruit_stays(phone, invented):
    at_tree(phone, invented)
    phone.touch("Sting")
    phone.touch(MORE)
    phone.touch("at the side")
    phone.touch("Keep this of the fruit")
    undo(phone)
    assert noted(invented) == [NOTHING_NOTED] and scored(invented) == {"sting": 1}


def test_what_other_marks_came_from_is_chosen_or_typed(phone, invented):
    at_tree(phone, invented)
    phone.touch("Other")
    phone.touch(MORE)
    phone.touch("hail")
    phone.touch("Keep this of the fruit")
    phone.touch("Other insect")
    phone.touch(MORE)
    phone.fill("Or in your own words", "gnawed by earwigs")
    phone.touch("Keep this of the fruit")
    assert noted(invented) == [FruitDetail(cause="hail"), FruitDetail(cause="gnawed by earwigs")]
    phone.touch(MORE)  # asked again, it shows what was said
    phone.touch("Keep this of the fruit")
    assert noted(invented)[1] == FruitDetail(cause="gnawed by earwigs")


def test_of_a_clean_fruit_nothing_is_asked(phone, invented):
    at_tree(phone, invented)
    row = shown_screen(phone.app)._detail
    assert row.disabled
    phone.touch("Sting")
    assert not row.disabled
    phone.touch("Clean")
    assert row.disabled


@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "lying"])
def test_the_sheet_of_a_fruit_with_two_marks_can_be_read_and_touched(phone, tmp_path: Path, size):
    at_tree(phone, used(tmp_path / "big", type_size=1.5), size=size)
    phone.touch("Other")
    phone.tap(phone.find("Sting"), hold=0.9)
    phone.settle()
    phone.touch(MORE)
    assert phone.sees("Where did it go in?") and phone.sees("What was it?") and complaints() == []


def test_the_cultivar_is_named_where_it_is_scored_and_in_what_was_found(phone, invented):
    grafted(invented)
    at_tree(phone, invented)
    assert phone.sees("Whole tree, no bags")
    phone.touch("Whole tree, no bags")
    phone.touch("Late Green of the upper orchard")
    sheet_touch(phone, "Tree without bags")
    assert phone.sees("Late Green of the upper orchard, no bags")
    phone.touch("Sting")
    phone.touch("Late Green of the upper orchard, no bags")
    phone.touch("Early Red")
    sheet_touch(phone, "Tree without bags")
    assert phone.sees("Early Red, no bags")
    phone.touch("Clean")
    phone.touch("Done, next tree")
    assert phone.sees("Late Green of the upper orchard, picked, no bags: 1 of 1 damaged")
    assert phone.sees("Early Red, picked, no bags: 0 of 1 damaged")
    assert phone.sees("Of the fruit of Early Red, no bags")
    phone.app.frame.go("history")
    phone.settle()
    assert any(
        text.startswith("Picking, tree 3: 2 fruit: ")
        and "1 Early Red" in text
        and "1 Late Green of the upper orchard" in text
        for text in phone.texts()
    )


@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "lying"])
def test_a_long_cultivar_is_shown_whole_in_large_type(phone, tmp_path: Path, size):
    big = used(tmp_path / "big", type_size=1.5)
    grafted(big)
    at_tree(phone, big, size=size)
    phone.touch("Whole tree, no bags")
    phone.touch("Late Green of the upper orchard")
    sheet_touch(phone, "Tree without bags")
    phone.touch("Sting")
    assert complaints() == []
    phone.touch("Done, next tree")
    assert complaints() == []

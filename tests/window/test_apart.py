"""What two people did without knowing of each other, with a finger: decided in Sharing and on the page of the thing."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from shared_models.records.gardens import Garden, Tree
from shared_models.records.traps import TrapVisit
from tests.window.invented import Invented, disputed, open_at, stored

PHONE = (360, 640)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone that has heard of a neighbour's edits."""
    return disputed(tmp_path / "phone")


def open_looks(invented: Invented) -> int:
    store = PhoneStore(invented.settings.file, invented.clock)
    count = store.looks.count()
    store.close()
    return count


def label(invented: Invented) -> str:
    return stored(invented, Tree, invented.trees[6]).label


def test_sharing_lists_them_with_both_people_and_the_top_line_counts_them(phone, invented):
    app = open_at(phone, invented, "today", PHONE)
    phone.until(lambda: app.frame.top_line.state_of_sharing == "4 need a look")
    phone.tap(app.frame.top_line)
    phone.settle()
    assert phone.sees("Tree 7 by the well: label") and phone.sees(
        "Bartholomew from the mill, Thursday 4 June"
    )
    assert phone.sees("Trap 2 was counted twice") and phone.sees("Walking order of 3 traps")
    phone.touch("Keep “7 by the well”")
    assert phone.sees("It is “7 by the well” now.") and not phone.sees("Tree 7 by the well: label")
    phone.close()
    assert open_looks(invented) == 3 and label(invented) == "7 by the well"


def test_the_other_value_is_switched_to_on_the_page_of_the_tree_and_undone(phone, invented):
    open_at(phone, invented, "tree_page", PHONE)
    phone.touch("Switch to “7 (gate)”")
    assert phone.sees("Tree 7 (gate)") and not phone.sees("without knowing of each other")
    phone.touch("Undo")
    phone.settle()
    assert phone.sees("without knowing of each other") and phone.sees("Tree 7 by the well")
    phone.close()
    assert open_looks(invented) == 4


def test_a_note_of_a_garden_is_decided_where_the_garden_is_shown(phone, invented):
    open_at(phone, invented, "timing", PHONE)
    phone.touch("Switch to the other")
    phone.close()
    assert stored(invented, Garden, invented.garden).note == "north side of the middle row"


@pytest.mark.parametrize(
    ("touch", "standing"), [("Both count", 2), ("Only the first counts", 1), ("Only the second counts", 1)]
)
def test_a_trap_counted_twice_is_decided_on_its_page(phone, invented, touch: str, standing: int):
    app = open_at(phone, invented, "trap_page", PHONE)
    assert phone.sees("8 new moths") and phone.sees("13 new moths")
    assert phone.sees("Walking order of 3 traps"), "an order is decided as a whole"
    phone.touch(touch)
    assert not phone.sees("counted twice")
    phone.touch("Undo")
    phone.settle()
    assert phone.sees("counted twice")
    phone.touch(touch)
    phone.close()
    assert open_looks(invented) == 3
    store = PhoneStore(invented.settings.file, invented.clock)
    counted = [
        one for one in store.all(TrapVisit) if one.trap == invented.traps[1] and one.when == "2026-06-03"
    ]
    store.close()
    assert len(counted) == standing and app.frame is not None

"""One touch can be taken back, the newest, whatever it was: also a −1, a pause taken out, hours mended."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.widgets.lock import Lock
from mobile.workflows.tally import bags
from shared_models.records.tallies import Visit
from tests.window.invented import Invented, open_at, used
from tests.window.look import complaints

SIZE = (360, 640)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees and four traps."""
    return used(tmp_path / "data")


def at(phone, invented: Invented, screen: str) -> None:
    """The app at a place, its third tree where it has one."""
    open_at(phone, invented, "today", SIZE)
    about = invented.about(screen)
    phone.app.frame.go(screen, **about | ({"tree": invented.trees[2]} if "tree" in about else {}))
    phone.settle()


def undo(phone) -> None:
    """Touch *Undo* and wait until the screen is shown anew."""
    phone.touch("Undo")
    phone.settle()


def newest(invented: Invented) -> Visit:
    """The one visit that is not ended."""
    store = PhoneStore(invented.settings.file, invented.clock)
    (found,) = [visit for visit in store.all(Visit) if visit.ended is None and visit.when[:4] == "2026"]
    store.close()
    return found


def tallied(invented: Invented) -> float:
    """How many fruit or bags are counted on disk on the visit that is not ended."""
    visit = newest(invented)
    store = PhoneStore(invented.settings.file, invented.clock)
    counts = store.tallies(visit.rec)
    store.close()
    return bags(counts) or sum(count.n for count in counts)


@pytest.mark.parametrize(
    ("screen", "key"), [("pick_tree", "Sting"), ("bag_tree", "+1 bag"), ("drops_tree", "Damaged drop")]
)
def test_a_minus_one_is_said_in_the_bar_and_undone(phone, invented, screen, key):
    at(phone, invented, screen)
    for _ in range(3):
        phone.touch(key)
    phone.touch("−1")
    assert tallied(invented) == 2 and phone.sees("One was taken back.")
    undo(phone)
    assert tallied(invented) == 3 and phone.sees("Taken back: ")
    assert not phone.app.frame.undo_bar._undo.parent  # one level deep: what is taken back is the history's


def test_a_minus_one_with_nothing_to_take_back_leaves_the_bar_as_it_was(phone, invented):
    at(phone, invented, "pick_tree")
    phone.touch("Many alike at once")
    sheet = phone.app.frame.sheet
    phone.tap(next(one for one in _touchables(sheet) if one.text == "Clean"))
    phone.settle()
    phone.fill("How many?", "40")
    phone.touch("Add these fruit")
    phone.touch("−1")
    assert phone.sees("There is no mark of yours to take back here.") and phone.sees("Tree 3: 40 fruit.")
    undo(phone)
    store = PhoneStore(invented.settings.file, invented.clock)
    assert all(visit.tree != invented.trees[2] or "2026" not in visit.when for visit in store.all(Visit))
    store.close()


def test_mended_hours_are_undone(phone, invented):
    at(phone, invented, "pick_tree")
    phone.touch("Clean")
    began = newest(invented).when
    phone.touch("Since 09:10")
    phone.fill("Began at", "8:40")
    phone.touch("Mend the hours")
    assert newest(invented).when != began and phone.sees("Hours: Since 08:40")
    undo(phone)
    assert newest(invented).when == began


def test_time_away_that_was_taken_out_is_undone(phone, invented):
    at(phone, invented, "pick_tree")
    phone.touch("Clean")
    invented.clock.move(minutes=25)
    phone.touch("Clean")
    phone.touch("No, take them out")
    assert newest(invented).pause_minutes == 25
    undo(phone)
    assert not newest(invented).pause_minutes


@pytest.mark.parametrize(
    ("screen", "key"), [("trap", "+1 moth"), ("drops_tree", "Damaged drop"), ("bag_tree", "+1 bag")]
)
def test_what_counts_can_be_locked_and_is_locked_after_a_restart(phone, invented, screen, key):
    at(phone, invented, screen)
    phone.touch("Lock against rain and pocket")
    assert isinstance(phone.app.frame.sheet, Lock) and complaints() == []
    phone.tap(phone.find(key))
    phone.key("1")
    phone.settle()
    phone.close()
    app = invented.app()
    phone.open(app, SIZE)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert isinstance(app.frame.sheet, Lock) and not app.frame.undo_bar.height  # nothing was recorded
    phone.touch("1: here")
    phone.touch("2: then here")
    phone.touch(key)
    assert app.frame.undo_bar.height


def test_the_walk_of_drops_is_told_of_a_day_before(phone, invented):
    at(phone, invented, "drops")
    phone.touch("When? now")
    phone.touch("A day")
    phone.touch("This day")
    assert phone.app.frame.way.here.screen == "drops" and not phone.sees("When? now")
    phone.touch("Tree 3")
    phone.touch("Damaged drop")
    assert newest(invented).when == "2026-06-03"
    phone.touch("Back")
    assert phone.sees("1 damaged drop")


def _touchables(sheet):
    return [one for one in sheet.walk() if getattr(one, "then", None)]

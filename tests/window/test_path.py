"""From the first start to a trap counted, ten bags put on and ten fruit scored: how many touches, how many letters."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import put_on
from shared_models.records.tallies import Visit
from shared_models.records.traps import TrapVisit
from shared_models.vocabulary import Round
from tests.window.invented import Invented, fresh, open_at, used

MOST_TOUCHES, MOST_LETTERS = 60, 30
FRUIT = ("Clean", "Clean", "Sting", "Clean", "Deep entry", "Clean", "Clean", "Not sure", "Clean", "Other")


def set_up(phone) -> None:
    """A name, a zone, a garden, twelve trees, a trap."""
    phone.fill("Your name or initials", "Ida")
    phone.fill("Time zone of your gardens", "Europe/Rome")
    phone.touch("Begin")
    phone.touch("Name a garden.")
    phone.fill("What is it called?", "Hill")
    phone.touch("North of the equator")
    phone.touch("Keep this garden")
    phone.touch("Add trees")
    phone.touch("Keep these trees")
    phone.touch("Hang a trap.")
    phone.touch("Hang it today")
    phone.touch("Go to Today")


def work(phone) -> None:
    """One trap without a moth, ten bags one by one, ten fruit."""
    for touch in ("Trap 1: not counted yet.", "None", "Done, next trap", "Bags", "Tree 1"):
        phone.touch(touch)
    for _ in range(10):
        phone.touch("+1 bag")
    for touch in ("Done, next tree", "Back", "Picking", "Tree 2"):
        phone.touch(touch)
    for fruit in FRUIT:
        phone.touch(fruit)
    phone.touch("Done, next tree")


def test_a_trap_ten_bags_and_ten_fruit_from_the_first_start(phone, tmp_path: Path):
    empty = fresh(tmp_path / "data")
    open_at(phone, empty, "begin", (360, 640))
    set_up(phone)
    work(phone)
    assert phone.sees("of 9 damaged")
    touches, letters = phone.touches, phone.letters
    phone.close()
    store = PhoneStore(empty.settings.file, empty.clock)
    assert [(visit.moths, visit.ended is not None) for visit in store.all(TrapVisit)] == [(0, True)]
    done = {visit.round: visit for visit in store.all(Visit)}
    assert put_on(store, done[Round.BAGGING]) == 10
    assert sum(count.n for count in store.tallies(done[Round.PICKING].rec)) == 10
    assert all(visit.ended for visit in done.values())
    store.close()
    print(f"{touches} touches, {letters} letters")
    assert touches <= MOST_TOUCHES and letters <= MOST_LETTERS


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees."""
    return used(tmp_path / "data")


@pytest.mark.parametrize(("place", "one"), [("bags", "+1 bag"), ("picking", "Clean")])
def test_the_next_one_is_one_touch_and_the_next_tree_two_at_most(phone, invented, place, one):
    app = open_at(phone, invented, place, (360, 640))
    phone.touch("Tree 3")
    phone.touch(one)
    before = phone.touches
    phone.touch(one)
    assert phone.touches - before == 1
    before = phone.touches
    while app.frame.way.here.about.get("tree") != invented.trees[3]:
        phone.touch("next tree" if app.frame.way.here.screen != "picked" else "Next tree")
    assert phone.touches - before <= 2
    before = phone.touches
    phone.touch(one)
    assert phone.touches - before == 1

"""At picking: the lock, Today, sheets and keys, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.widgets.lock import Lock
from mobile.workflows.picking import KEYS
from shared_models.vocabulary import Fruit
from tests.window.invented import shown_screen, used
from tests.window.look import complaints
from tests.window.test_picking import at_tree, counts, invented, scored

__all__ = ["invented"]


def test_the_lock_lets_nothing_through_until_two_places_are_touched(phone, invented):
    at_tree(phone, invented, size=(412, 892))
    phone.touch("Lock")
    assert isinstance(phone.app.frame.sheet, Lock) and complaints() == []
    for key in shown_screen(phone.app)._keys.values():
        phone.tap(key)
    phone.key("1")
    phone.settle()
    assert scored(invented) == {}
    phone.touch("2: then here")
    assert phone.app.frame.sheet is not None
    phone.touch("1: here")
    phone.wait(4)
    phone.touch("2: then here")
    assert phone.app.frame.sheet is not None  # too late
    phone.touch("1: here")
    phone.touch("2: then here")
    assert phone.app.frame.sheet is None
    phone.touch("Clean")
    assert scored(invented) == {"clean": 1}


def test_a_locked_phone_is_locked_after_a_restart(phone, invented):
    at_tree(phone, invented)
    phone.touch("Lock")
    phone.close()
    app = invented.app()
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert isinstance(app.frame.sheet, Lock)


def test_today_goes_on_with_the_scoring(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.app.frame.go("today")
    phone.settle()
    phone.touch("Go on: Picking, tree 3: 1 fruit")
    phone.touch("Clean")
    assert scored(invented) == {"clean": 2}


@pytest.mark.parametrize("touch", ["Tree without bags", "Picked from the tree", "Many alike at once", "Lock"])
@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "lying"])
def test_every_sheet_can_be_read_and_touched(phone, tmp_path: Path, touch, size):
    big = used(tmp_path / "big", type_size=1.5)
    at_tree(phone, big, size=size)
    phone.touch("Clean")
    phone.touch(touch)
    assert phone.app.frame.sheet is not None and complaints() == []


def test_the_keys_stay_in_their_places_whatever_is_scored(phone, invented):
    at_tree(phone, invented)
    keys = shown_screen(phone.app)._keys
    before = {fruit: tuple(key.pos) for fruit, key in keys.items()}
    for word in ("Clean", "Sting", "Other insect"):
        phone.touch(word)
    after = {fruit: tuple(key.pos) for fruit, key in keys.items()}
    # The bar of what was recorded comes in below; nothing moves sideways or changes its row.
    assert {fruit: x for fruit, (x, _) in before.items()} == {fruit: x for fruit, (x, _) in after.items()}
    assert list(keys) == list(KEYS) and counts(phone)["Sting"] == "1" and Fruit.STING in keys

"""What waits for its time: once, however often a screen is shown anew, and not at all when the app has ended."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import pytest

from mobile.screens.places import SCREENS
from tests.window.invented import Invented, open_at, shown_screen, used
from tests.window.offscreen import SIZE
from tests.window.phone import Phone


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """An invented garden on a phone."""
    return used(tmp_path / "data")


@pytest.mark.parametrize("place", ["bag_tree", "pick_tree", "drops_tree"])
def test_the_minutes_of_a_visit_are_told_once_a_minute_however_often_it_is_shown_anew(phone, invented, place):
    open_at(phone, invented, place, SIZE)
    screen, told = shown_screen(phone.app), []
    for _ in range(3):
        screen.again()
        phone.settle()
    screen.tell_again = lambda: told.append(phone.now)
    phone.wait(121)
    assert len(told) == 2


def test_no_screen_holds_on_to_an_app_that_has_ended(phone: Phone, invented: Invented):
    """Memory of every app that a process opened would stay, and what waits would ask a closed store."""
    held = [place for place in SCREENS if place not in NEEDS_A_NEW_PHONE and holds_on(phone, invented, place)]
    assert held == []


NEEDS_A_NEW_PHONE = {"begin"}


def holds_on(phone: Phone, invented: Invented, place: str) -> bool:
    """Whether an app that was shown there is still in memory after it was closed and another was opened."""
    app = open_at(phone, invented, place, SIZE)
    shown_screen(app).again()
    phone.settle()
    ended = weakref.ref(app)
    del app
    phone.close()
    open_at(phone, invented, "settings", SIZE)  # Kivy's window keeps the last one until then
    phone.close()
    gc.collect()
    return ended() is not None

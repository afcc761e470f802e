"""Looking around in the invented seasons: apart from real records, marked, kept over a restart, left with one touch."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from tests.window.invented import Invented, fresh, open_at, shown_screen, used
from tests.window.look import complaints
from tests.window.phone import Phone


def look_around(phone: Phone) -> None:
    """Touch the row, and wait until the invented seasons are open."""
    row = phone.find("Look around with the invented season")
    phone.reach(row)
    phone.tap(row)
    arrived(phone, invented=True)


def leave(phone: Phone) -> None:
    """Touch the top line, and wait until the person's own records are open."""
    phone.tap(phone.find("Invented: touch to leave"))
    arrived(phone, invented=False)


def arrived(phone: Phone, invented: bool) -> None:
    """Wait until the records are open."""
    app = phone.app
    assert app is not None
    phone.until(lambda: app.invented is invented and app.frame.screen is not None, 40)
    phone.settle()


@pytest.fixture
def empty(tmp_path: Path) -> Invented:
    """A phone before its first start."""
    return fresh(tmp_path / "data")


def test_before_the_first_start_a_whole_season_is_shown_and_left_again(phone, empty):
    app = open_at(phone, empty, "begin", (360, 640))
    look_around(phone)
    assert app.frame.way.here.screen == "today" and phone.sees("Invented: touch to leave")
    phone.touch("Season")
    assert phone.sees("Season 2026 · all gardens") and phone.sees("Invented: nothing here is real.")
    leave(phone)
    assert app.frame.way.here.screen == "begin" and not phone.sees("Invented")
    phone.close()
    store = PhoneStore(empty.settings.file)
    assert store.identity is None and store.entries_held() == 0
    store.close()


def test_what_is_tried_out_there_does_not_touch_the_persons_own_records(phone, tmp_path: Path):
    mine = used(tmp_path / "data")
    store = PhoneStore(mine.settings.file)
    held = store.entries_held()
    store.close()
    app = open_at(phone, mine, "steps", (412, 892))
    look_around(phone)
    app.frame.go("name_garden")
    phone.settle()
    phone.fill("What is it called?", "Castle in the air")
    phone.touch("North of the equator")
    phone.touch("Keep this garden")
    assert phone.sees("Garden “Castle in the air” is kept.")
    leave(phone)
    assert app.frame.way.here.screen == "steps" and not phone.sees("Castle")
    phone.close()
    store = PhoneStore(mine.settings.file)
    assert store.entries_held() == held
    store.close()


def test_closed_while_looking_around_it_opens_there_and_leads_back_to_where_one_was(phone, tmp_path: Path):
    mine = used(tmp_path / "data")
    open_at(phone, mine, "steps", (360, 640))
    look_around(phone)
    phone.touch("Traps")
    phone.close()
    app = mine.app()
    phone.open(app, (360, 640))
    arrived(phone, invented=True)
    assert app.frame.way.here.screen == "traps" and phone.sees("Invented: touch to leave")
    leave(phone)
    assert app.frame.way.here.screen == "steps"
    phone.close()
    phone.open(again := mine.app(), (360, 640))
    arrived(phone, invented=False)
    assert again.frame.way.here.screen == "steps"


@pytest.mark.parametrize("size", [(360, 640), (640, 360)])
def test_marked_places_can_be_read_and_touched_with_large_type(phone, tmp_path: Path, size):
    mine = used(tmp_path / "data", "dusk", 1.5)
    app = open_at(phone, mine, "steps", size)
    look_around(phone)
    for screen in ("today", "traps", "season", "steps"):
        app.frame.go(screen)
        phone.settle()
        phone.frames(6)
        assert complaints() == [], screen
    assert shown_screen(app).title


def test_nothing_leads_to_sharing_from_there(phone, tmp_path: Path):
    mine = used(tmp_path / "data")
    app = open_at(phone, mine, "steps", (360, 640))
    look_around(phone)
    phone.wait(1.5)  # the line about sharing is asked for a second later
    phone.settle()
    assert phone.sees("Invented: touch to leave") and not phone.sees("not shared")
    phone.tap(app.frame.top_line)
    arrived(phone, invented=False)
    assert app.frame.way.here.screen == "steps"

"""After a damaged file: what was saved is told at each start until it was read; damage that the weekly look finds is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.storage.phone_store import PhoneStore
from tests.window.invented import SIZES, TYPE_SIZES, open_at, used
from tests.window.look import complaints

TITLE = "Your records were put in order"


def damaged(folder: Path):
    """A phone in an invented garden whose file lost its end."""
    invented = used(folder)
    file = invented.settings.file
    with file.open("r+b") as pages:
        pages.truncate(file.stat().st_size // 2)
    return invented


def test_what_was_saved_is_told_until_it_was_read(phone, tmp_path: Path):
    invented = damaged(tmp_path / "data")
    open_at(phone, invented, "today", (360, 640))
    assert phone.sees(TITLE) and phone.sees("was damaged") and phone.sees("Nothing was deleted")
    phone.key("escape")  # put aside, not read
    phone.frames(4)
    assert not phone.sees(TITLE)
    phone.close()
    open_at(phone, invented, "today", (360, 640))
    assert phone.sees(TITLE)
    phone.touch("I have read it")
    phone.settle()
    assert not phone.sees(TITLE) and phone.sees("Today")
    phone.close()
    open_at(phone, invented, "today", (360, 640))
    assert not phone.sees(TITLE)


@pytest.mark.parametrize("type_size", TYPE_SIZES)
def test_it_can_be_read_in_every_size(phone, tmp_path: Path, type_size):
    invented = damaged(tmp_path / "data")
    store = PhoneStore(invented.settings.file)
    store.save_choices({"scheme": "dusk" if type_size == 1.0 else "sun", "type_size": type_size})
    store.close()
    open_at(phone, invented, "today", SIZES[0])
    found = {}
    for size in SIZES:
        phone.turn(size)
        assert phone.sees(TITLE) and tuple(Window.size) == size
        found[size] = complaints()
    assert {size: wrong for size, wrong in found.items() if wrong} == {}


def test_damage_that_the_weekly_look_finds_is_told_and_the_next_start_puts_it_in_order(phone, tmp_path: Path):
    invented = used(tmp_path / "data")
    store = PhoneStore(invented.settings.file)
    held = store.entries_held()
    with store._database.writing() as line:
        line.driver.execute("UPDATE entry SET body = replace(body, 'picked', 'packed')")
    store.close()
    open_at(phone, invented, "today", (360, 640))
    phone.wait(1.2)
    phone.until(lambda: phone.sees("Please read this"), 20)
    assert phone.sees("Close the app")
    phone.touch("Close")
    phone.close()
    open_at(phone, invented, "today", (360, 640))
    assert phone.sees(TITLE)
    phone.close()
    store = PhoneStore(invented.settings.file)
    assert store.entries_held() == held
    store.close()


def test_an_app_that_is_put_aside_makes_the_days_copy(phone, tmp_path: Path):
    invented = used(tmp_path / "data")
    copy = invented.settings.file.with_name("phone.db.backup-1")
    app = open_at(phone, invented, "today", (360, 640))
    assert not copy.exists()
    assert app.on_pause()
    phone.until(copy.exists)

"""The demo's pictures of the phone's window: real frames of a copy of a phone, or none where that cannot be."""

from __future__ import annotations

import sqlite3
import struct
import sys
import time
from datetime import datetime
from pathlib import Path

import pytest

from demo.phone_window import SIZE, copy_of_phone, draw, opened
from mobile.settings import FILE
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import begin, name_garden
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from mobile.workflows.trees import add_row
from shared_models.records.traps import TrapVisit
from shared_models.seasons import Hemisphere

pytestmark = pytest.mark.timeout(300)
WHEN = datetime.fromisoformat("2026-06-04T09:00:00+02:00")


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """The file of a phone with a garden, a tree and a trap that was counted once."""
    store = PhoneStore(tmp_path / "phone.sqlite", lambda: WHEN)
    begin(store, "Ida", "Europe/Vienna")
    garden = name_garden(store, "Hill", Hemisphere.NORTH).garden
    add_row(store, garden, 1)
    hand = TrapRound(store).open(hang_trap(store, "T1", garden).trap)
    hand.number(3)
    hand.done()
    store.close()
    return tmp_path / "phone.sqlite"


def size_of(picture: Path) -> tuple[int, ...]:
    """Width and height of a PNG, from its header (W3C PNG, 11.2.2)."""
    head = picture.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    return struct.unpack(">II", head[16:24])


def test_every_main_screen_is_drawn_and_the_phone_itself_stays_as_it_was(phone, tmp_path):
    data = copy_of_phone(phone, tmp_path / "window")
    pictures = draw(data, tmp_path / "pictures")
    names = {picture.stem for picture in pictures}
    assert names >= {"phone_today", "phone_traps", "phone_trap", "phone_season", "phone_season_trees"}
    assert {size_of(picture) for picture in pictures} == {SIZE}
    assert len({picture.read_bytes() for picture in pictures}) == len(pictures)
    moths = {path: sorted(visit.moths or 0 for visit in _visits(path)) for path in (phone, data / FILE)}
    assert moths == {phone: [3], data / FILE: [3, 4]}


def _visits(file: Path) -> list[TrapVisit]:
    store = PhoneStore(file)
    visits = store.all(TrapVisit)
    store.close()
    return visits


def test_a_copy_is_whole_while_the_phone_is_open(phone, tmp_path):
    store = PhoneStore(phone, lambda: WHEN)
    store.record("garden", {"name": "Brook", "hemisphere": "north"})
    data = copy_of_phone(phone, tmp_path / "window")
    held = store.entries_held()
    store.close()
    count = sqlite3.connect(data / FILE)
    assert count.execute("SELECT count(*) FROM entry").fetchone() == (held,)
    count.close()


def test_what_cannot_be_drawn_gives_no_picture_and_no_error(tmp_path):
    (tmp_path / FILE).write_bytes(b"no database" * 1000)
    assert draw(tmp_path, tmp_path / "pictures") == []


def test_the_window_opens_where_something_can_be_drawn_on_and_ends_with_the_demo(
    phone, tmp_path, monkeypatch
):
    data = copy_of_phone(phone, tmp_path / "window")
    monkeypatch.setenv("SDL_VIDEODRIVER", "offscreen")
    with opened(data) as is_open:
        assert is_open
        end = time.monotonic() + 120
        while _place(data) is None:  # saved once the first screen is shown
            assert time.monotonic() < end
            time.sleep(0.5)
    assert _place(data) == "today"


def test_without_a_display_there_is_no_window(phone, tmp_path, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    with opened(copy_of_phone(phone, tmp_path / "window")) as is_open:
        assert is_open is (sys.platform in ("win32", "darwin"))


def _place(data: Path) -> str | None:
    store = PhoneStore(data / FILE)
    place = store.place()
    store.close()
    return place["here"]["screen"] if place else None

"""Every screen in every size, scheme and type size: nothing cut, nothing in the way, nothing too small or too pale."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.window.invented import SCHEMES, SIZES, TYPE_SIZES, disputed, fresh, in_spring, open_at, screens
from tests.window.look import complaints


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_every_screen_can_be_read_and_touched(phone, tmp_path: Path, size, scheme, type_size):
    invented = in_spring(tmp_path / "data", scheme, type_size)
    app = open_at(phone, invented, "today", size)
    found: dict[str, list[str]] = {}
    for screen in screens():
        app.frame.go(screen, **invented.about(screen))
        phone.settle()
        phone.frames(8)
        found[screen] = complaints()
    assert {screen: wrong for screen, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_first_screen_of_a_new_phone_can_be_read_and_touched(phone, tmp_path: Path, size):
    open_at(phone, fresh(tmp_path / "data"), "begin", size)
    assert complaints() == []


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_what_two_people_did_apart_can_be_read_and_decided(phone, tmp_path: Path, size, type_size):
    invented = disputed(tmp_path / "data", "dusk" if type_size == 1.0 else "sun", type_size)
    app = open_at(phone, invented, "today", size)
    found: dict[str, list[str]] = {}
    for screen in ("sharing", "tree_page", "trap_page", "timing"):
        app.frame.go(screen, **invented.about(screen))
        phone.settle()
        phone.frames(8)
        assert phone.sees("without knowing of each other") or phone.sees("counted twice")
        found[screen] = complaints()
    assert {screen: wrong for screen, wrong in found.items() if wrong} == {}

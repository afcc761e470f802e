"""Settings and people, with a finger: each choice takes effect at once and is there after a restart."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.storage.phone_store import PhoneStore
from mobile.theme import theme
from mobile.workflows.device_choices import choices
from mobile.workflows.people import people
from shared_models.language import together
from tests.window.invented import Invented, open_at, used

PHONE = (360, 640)
ON_ITS_SIDE = (640, 360)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone that was used."""
    return used(tmp_path / "data")


def test_colours_and_type_change_at_the_touch_and_stay(phone, invented):
    open_at(phone, invented, "settings", PHONE)
    phone.touch("Light on dark, for dusk")
    phone.settle()
    assert theme.scheme == "dusk" and Window.clearcolor == theme.colour("ground")
    phone.touch(together("150 %"))
    phone.settle()
    assert theme.type_size == 1.5
    phone.close()
    store = PhoneStore(invented.settings.file)
    assert (choices(store).scheme, choices(store).type_size) == ("dusk", 1.5)
    store.close()


def test_the_keys_change_sides_on_a_phone_that_lies(phone, invented):
    app = open_at(phone, invented, "trap", ON_ITS_SIDE)
    screen = app.frame.screen
    assert screen is not None and screen.thumb.x > screen.reading.x
    app.frame.go("settings")
    phone.settle()
    phone.touch("At the left")
    phone.settle()
    app.frame.go("trap", **invented.about("trap"))
    phone.settle()
    phone.frames(4)
    screen = app.frame.screen
    assert screen is not None and screen.thumb.x < screen.reading.x


def test_a_helper_is_added_renamed_and_not_offered_any_more(phone, invented):
    open_at(phone, invented, "people", PHONE)
    phone.fill("A helper without a phone", "Jo")
    phone.touch("Add this helper")
    phone.touch("Jo")
    phone.fill("Name or initials", "Joan")
    phone.touch("Keep this name")
    assert phone.sees("Jo is called Joan now.")
    phone.touch("Joan")
    phone.touch("Do not offer any more")
    phone.touch("Undo")
    phone.close()
    store = PhoneStore(invented.settings.file, invented.clock)
    assert ("Joan", False) in [(line.name, line.retired) for line in people(store)]
    store.close()


def test_a_helper_without_a_name_is_asked_for_one(phone, invented):
    open_at(phone, invented, "people", PHONE)
    phone.touch("Add this helper")
    assert phone.sees("Give a name or initials.")

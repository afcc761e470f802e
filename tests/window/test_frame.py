"""The frame: places, the way back, what is saved of it, errors, sheets, the keyboard."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from kivy.base import EventLoop, runTouchApp
from kivy.core.window import Window

from mobile.screens.places import PLACES, SCREENS, screen_class, tabs
from mobile.screens.screen import Screen
from mobile.screens.where import Way, Where, way_from
from mobile.storage.phone_store import PhoneStore
from mobile.theme import theme
from mobile.workflows.device_choices import DeviceChoices
from shared_models.errors import BadInputError
from tests.window.invented import Invented, open_at, shown_screen, used
from tests.window.look import complaints

ROOT = Path(__file__).parents[2]
KNOWN = frozenset({"today", "traps", "trap"})


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone in use."""
    return used(tmp_path / "data")


class CountingBuzzer:
    """Counts instead of shaking."""

    def __init__(self) -> None:
        self.buzzes = self.clicks = 0

    def buzz(self) -> None:
        self.buzzes += 1

    def click(self) -> None:
        self.clicks += 1


# ---------------------------------------------------------------- the way
def test_a_way_is_the_same_after_it_was_saved():
    way = Way(Where("today")).on(Where("trap", {"trap": "t1"})).with_draft({"note": "wet"})
    assert way_from(way.plain(), KNOWN) == way
    assert way.back() == Way(Where("today"))


@pytest.mark.parametrize(
    "saved",
    [
        None,
        {},
        {"here": 3, "behind": []},
        {"here": {"screen": "gone"}, "behind": []},
        {"here": {}, "behind": []},
    ],
)
def test_a_way_that_cannot_be_walked_is_none(saved):
    assert way_from(saved, KNOWN) is None


def test_every_screen_of_the_table_is_a_screen_with_a_title():
    classes = [screen_class(name) for name in SCREENS]
    assert all(issubclass(cls, Screen) and cls.title for cls in classes)


def test_the_bottom_bar_holds_the_places_that_exist_in_their_order():
    assert [tab.name for tab in tabs()] == [name for name, _, _ in PLACES if name in SCREENS]


# ---------------------------------------------------------------- in the window
def test_the_first_frame_comes_before_the_records_are_opened(phone, invented):
    app = invented.app()
    phone.app = app
    app._run_prepare()
    if EventLoop.status != "started":
        runTouchApp(embedded=True)  # once a process; returns
    assert app.frame.screen is None and phone.sees("Opening what is on this phone")
    phone.until(lambda: app.frame.screen is not None)


def test_back_goes_back_and_from_a_place_to_today(phone, invented):
    app = open_at(phone, invented, "traps", (360, 640))
    phone.touch("Trap 1")
    phone.touch("Back")
    assert app.frame.way.here.screen == "traps"
    phone.key("escape")
    assert app.frame.way.here.screen == "today"
    assert app.frame.back() is False


@pytest.mark.parametrize("type_size", [1.0, 1.5])
def test_the_bar_of_the_current_place_lies_at_its_upper_edge_at_every_type_size(phone, tmp_path, type_size):
    app = open_at(phone, used(tmp_path / "data", type_size=type_size), "today", (360, 640))
    place = next(place for place in app.frame.places.places if place.current)
    assert place._bar.pos[1] + place._bar.size[1] == place.y + place.height
    assert place._bar.pos[1] >= place._sign.y + place._sign.height


def test_escape_closes_a_sheet_before_it_goes_back(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("Not counted")
    phone.key("escape")
    assert app.frame.sheet is None and app.frame.way.here.screen == "trap"


def test_closed_without_a_goodbye_it_opens_at_the_same_place_with_the_same_number(phone, invented):
    open_at(phone, invented, "traps", (360, 640))
    phone.touch("Trap 2")
    for _ in range(3):
        phone.touch("+1 moth")
    phone.close()
    app = open_at(phone, invented, "trap", (360, 640))
    assert app.frame.way.here.about == {"trap": invented.traps[1]}
    assert shown_screen(app)._pad.number == "3"
    phone.touch("Back")
    assert app.frame.way.here.screen == "traps"


def test_what_was_typed_and_not_recorded_is_there_after_a_restart(phone, invented):
    open_at(phone, invented, "name_garden", (360, 640))
    phone.fill("What is it called?", "By the brook")
    phone.touch("South of the equator")
    phone.close()
    app = open_at(phone, invented, "name_garden", (360, 640))
    assert phone.sees("By the brook") and shown_screen(app)._half.chosen == "south"


def test_a_saved_place_of_another_release_leads_to_today(phone, invented):
    store = PhoneStore(invented.settings.file)
    store.save_place({"here": {"screen": "cellar", "about": {}, "draft": {}}, "behind": []})
    store.close()
    assert open_at(phone, invented, "today", (360, 640)).frame.way == Way(Where("today"))


def test_what_cannot_be_done_is_said_in_its_sentence(phone, invented):
    app = open_at(phone, invented, "today", (360, 640))

    def refuse(_store: PhoneStore) -> None:
        raise BadInputError("Eleven is too many.")

    shown_screen(app).ask(refuse, lambda _: pytest.fail("no answer was given"))
    phone.settle()
    assert phone.sees("Eleven is too many.")


def test_what_should_not_happen_is_logged_and_said_without_its_name(phone, invented, caplog):
    app = open_at(phone, invented, "today", (360, 640))
    shown_screen(app).ask(lambda _: 1 // 0, lambda _: pytest.fail("no answer was given"))
    phone.settle()
    assert phone.sees("Something went wrong") and not phone.sees("ZeroDivision")
    assert "ZeroDivisionError" in caplog.text


def test_a_network_that_is_slow_holds_up_no_touch(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    gate = threading.Event()
    answers: list[Any] = []
    shown_screen(app).ask_network(lambda sharing: gate.wait(10) and sharing.store.identity, answers.append)
    phone.touch("+1 moth")
    assert shown_screen(app)._pad.number == "1" and answers == []
    gate.set()
    phone.until(lambda: answers)
    assert answers[0].person


def test_sharing_without_a_group_is_told_in_a_sentence(phone, invented):
    app = open_at(phone, invented, "today", (360, 640))
    shown_screen(app).ask_network(
        lambda sharing: sharing.share(), lambda _: pytest.fail("no answer was given")
    )
    phone.until(lambda: app.frame.sheet is not None)
    assert phone.sees("This phone is not connected to a group")


def test_an_answer_for_a_place_that_was_left_is_dropped(phone, invented):
    app = open_at(phone, invented, "today", (360, 640))
    heard: list[str] = []
    shown_screen(app).ask(lambda _: "late", heard.append)
    app.frame.go("traps")
    phone.settle()
    assert heard == []


def test_records_that_cannot_be_opened_are_told_in_a_sentence(phone, invented):
    invented.settings.file.unlink()
    with closing(sqlite3.connect(invented.settings.file)) as of_another_program:
        of_another_program.execute("CREATE TABLE theirs (text)")
    app = invented.app()
    phone.open(app)
    phone.until(lambda: app.frame.sheet is not None)
    assert phone.sees("That was not done")


@pytest.mark.parametrize(
    ("chosen", "felt"), [((True, True), (1, 1)), ((True, False), (1, 0)), ((False, False), (0, 0))]
)
def test_buzz_and_click_are_by_choice(phone, invented, chosen, felt):
    app = invented.app()
    buzzer = app._buzzer = CountingBuzzer()
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    app.take_choices(DeviceChoices(buzz=chosen[0], click=chosen[1]))
    app.frame.go("trap", trap=invented.traps[0])
    phone.settle()
    phone.touch("+1 moth")
    assert (buzzer.buzzes, buzzer.clicks) == felt


def test_scheme_and_type_size_are_as_chosen(phone, tmp_path):
    open_at(phone, used(tmp_path / "dark", "dusk", 1.25), "today", (360, 640))
    assert (theme.scheme, theme.type_size) == ("dusk", 1.25)
    assert list(Window.clearcolor) == theme.colour("ground")


def test_the_top_line_tells_of_sharing(phone, invented):
    app = open_at(phone, invented, "today", (360, 640))
    phone.wait(1.5)
    phone.settle()
    assert app.frame.top_line.state_of_sharing == "on this phone only"


# ---------------------------------------------------------------- keyboard
def test_a_trap_is_counted_with_the_keyboard_alone(phone, invented):
    app = open_at(phone, invented, "trap", (1024, 768))
    phone.key("3")
    phone.settle()
    assert shown_screen(app)._pad.number == "3"
    phone.key("0")
    phone.settle()
    assert shown_screen(app)._pad.number == "0"


def test_tab_and_enter_reach_and_touch_everything(phone, invented):
    app = open_at(phone, invented, "today", (1024, 768))
    for _ in range(60):
        phone.key("tab")
        lit = [widget for widget in app.frame.walk() if getattr(widget, "lit", False)]
        assert len(lit) == 1
        if getattr(lit[0], "text", "") == "Traps":
            break
    phone.key("enter")
    phone.settle()
    assert app.frame.way.here.screen == "traps"


def test_letters_and_digits_go_into_the_field_that_has_the_focus(phone, invented):
    app = open_at(phone, invented, "name_garden", (1024, 768))
    for _ in range(10):
        phone.key("tab")
        if shown_screen(app)._name.typed.focus:
            break
    phone.type("Hill 2")
    assert shown_screen(app)._name.text == "Hill 2"


def test_the_first_frame_has_the_colours_and_the_name_of_the_saved_place(phone, tmp_path: Path):
    invented = used(tmp_path / "data", "dusk", 1.5)
    app = open_at(phone, invented, "traps", (360, 640))
    phone.settle()
    phone.close()
    theme.scheme, theme.type_size = "sun", 1.0
    app = invented.app()
    frame = app.build()
    assert (theme.scheme, theme.type_size, frame.top_line.title) == ("dusk", 1.5, "Traps")
    assert frame.screen is None  # the records were not opened yet


def test_a_phone_that_is_turned_amid_a_count_can_still_be_read_and_touched(phone, tmp_path: Path):
    invented = used(tmp_path / "data", "sun", 1.5)
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("+1 moth")
    for size, brief in (((640, 360), True), ((360, 640), False), ((640, 360), True)):
        phone.turn(size)
        assert app.frame.undo_bar.brief is brief
        assert complaints() == []

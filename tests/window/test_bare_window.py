"""The window of the tests is real: it draws, is touched, and its pictures show what was drawn."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Color, Rectangle
from kivy.uix.button import Button
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from tests.window.phone import pixel_of

GREEN = (0, 158, 115)
ORANGE = (230, 159, 0)


class TwoColours(App):
    """Orange, and a green quarter at the lower left."""

    def build(self) -> Widget:
        widget = Widget()
        with widget.canvas:
            Color(*(part / 255 for part in ORANGE))
            Rectangle(pos=(0, 0), size=Window.size)
            Color(*(part / 255 for part in GREEN))
            Rectangle(pos=(0, 0), size=(Window.width / 2, Window.height / 2))
        return widget


class OneButton(App):
    """A button that fills the window and counts."""

    presses = 0

    def build(self) -> Widget:
        button = Button(text="press")
        button.bind(on_press=self.count)
        return button

    def count(self, _button: Button) -> None:
        self.presses += 1


@pytest.mark.parametrize("size", [(360, 640), (412, 892)])
def test_a_frame_is_drawn_in_the_colours_asked_for(phone, size, tmp_path: Path):
    phone.open(TwoColours(), size)
    picture = phone.picture(tmp_path / "two colours.png")
    width, height = size
    assert pixel_of(picture, 10, 10) == GREEN
    assert pixel_of(picture, 10, height - 10) == ORANGE
    assert pixel_of(picture, width - 10, 10) == ORANGE


def test_a_later_app_finds_the_window_empty(phone, tmp_path: Path):
    phone.open(TwoColours())
    phone.close()
    assert Window.children == []
    phone.open(OneButton())
    assert pixel_of(phone.picture(tmp_path / "button.png"), 10, 10) not in (GREEN, ORANGE)


def test_a_tap_presses_the_button_once(phone):
    app = OneButton()
    phone.open(app)
    phone.tap(app.root)
    assert app.presses == 1
    phone.tap(app.root)
    assert app.presses == 2


def test_typed_letters_reach_the_field_with_the_focus(phone):
    field = TextInput(multiline=False)
    app = App()
    app.root = field
    phone.open(app)
    phone.tap(field)
    phone.type("A 17")
    assert field.text == "A 17"


def test_six_seconds_of_the_app_pass_only_when_the_test_lets_them(phone):
    rung = []
    phone.open(OneButton())
    Clock.schedule_once(lambda _seconds: rung.append("rung"), 6)
    phone.wait(5.8)
    assert rung == []
    phone.wait(0.4)
    assert rung == ["rung"]

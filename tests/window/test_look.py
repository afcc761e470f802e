"""The look check finds what it looks for."""

from __future__ import annotations

import pytest
from kivy.app import App
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from mobile.widgets.buttons import Action
from mobile.widgets.pad import Pad
from mobile.widgets.words import Words
from tests.window.look import complaints


class Wrong(App):
    """Widgets where they were put."""

    def __init__(self, *content: Widget) -> None:
        super().__init__()
        self._content = content

    def build(self) -> FloatLayout:
        layout = FloatLayout()
        for widget in self._content:
            layout.add_widget(widget)
        return layout


def action(**given: object) -> Action:
    """Something to touch, free to be put anywhere."""
    return Action("touch", print, size_hint=(None, None), **given)


@pytest.mark.parametrize(
    ("widgets", "complaint"),
    [
        (
            lambda: [Label(text="A long sentence in a low place", size_hint=(None, None), size=(90, 20))],
            "cut",
        ),
        (lambda: [Words("Incompressible", size_hint=(None, None), width=40)], "broken within a word"),
        (lambda: [Action("touch", print, size_hint=(0.5, 0.04))], "too small"),
        (lambda: [action(size=(30, 80))], "too small"),
        (lambda: [Pad("+1", print, size_hint=(0.7, 0.1))], "too small"),
        (lambda: [action(size=(200, 80)), action(size=(200, 80), pos=(100, 40))], "in each other's way"),
        (lambda: [action(size=(200, 80), pos=(-50, 0))], "outside the window"),
        (lambda: [Words("pale", role="raised")], "too pale"),
        (lambda: [action(size=(200, 80), edge_role="raised")], "too pale"),
    ],
)
def test_what_is_wrong_is_found(phone, widgets, complaint):
    phone.open(Wrong(*widgets()))
    assert any(complaint in found for found in complaints())


def test_what_is_right_is_left_alone(phone):
    phone.open(Wrong(action(size=(200, 80)), Words("A sentence that has its room.", pos=(0, 200))))
    assert complaints() == []

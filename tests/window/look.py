"""Looks at the widgets of an open window as a person would: text cut, things in each other's way, too small, too pale.

`complaints(window)` returns sentences, none where all is well. Sizes are asked by the kind of thing, not taken from
the widget's own word.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from mobile.theme import contrast, theme
from mobile.widgets.bars import TopLine
from mobile.widgets.fields import Typed
from mobile.widgets.pad import Key, Pad
from mobile.widgets.painted import Painted
from mobile.widgets.sheet import Sheet
from mobile.widgets.sign import Sign
from mobile.widgets.touchable import Touchable

TOP_LINE, TARGET, KEY, PAD = 48, 64, 96, 126  # [dp] least height; the width too, but for the top line
TEXT_CONTRAST, MARK_CONTRAST = 7.0, 3.0  # WCAG 2.2, 1.4.6 and 1.4.11
SLACK = 1.5  # [px] rounding of a texture

Box = tuple[float, float, float, float]  # left, low, right, high, in window pixels


@dataclass(frozen=True)
class Seen:
    """A widget with what of it is in sight, and whether it can be scrolled into sight."""

    widget: Widget
    box: Box
    clip: Box
    scrolls: bool

    @property
    def in_sight(self) -> Box:
        """What is left of it inside whatever scrolls."""
        left, low, right, high = self.box
        return (
            max(left, self.clip[0]),
            max(low, self.clip[1]),
            min(right, self.clip[2]),
            min(high, self.clip[3]),
        )


def complaints(top: Widget = Window) -> list[str]:
    """Everything that is wrong with what the window shows now."""
    seen = list(_seen(_uppermost(top), (0, 0, Window.width, Window.height), False))
    return [*_cut(seen), *_outside(seen), *_too_small(seen), *_in_the_way(seen), *_too_pale(seen)]


def _uppermost(top: Widget) -> Widget:
    """A sheet over everything is all that can be touched and read."""
    return (
        next((widget for widget in top.walk() if isinstance(widget, Sheet)), top)
        if top is not Window
        else _root()
    )


def _root() -> Widget:
    return _uppermost(Window.children[0])


def _seen(widget: Widget, clip: Box, scrolls: bool) -> list[Seen]:
    box = _box(widget)
    here = Seen(widget, box, clip, scrolls)
    if isinstance(widget, ScrollView):
        clip, scrolls = here.in_sight, True
    found = [here]
    for child in reversed(widget.children):
        found += _seen(child, clip, scrolls)
    return found


def _box(widget: Widget) -> Box:
    left, low = widget.to_window(*widget.pos)
    return left, low, left + widget.width, low + widget.height


def _cut(seen: list[Seen]) -> list[str]:
    """Text whose picture is larger than its place, or that would be shortened."""
    wrong = []
    for label in (one.widget for one in seen if isinstance(one.widget, Label) and one.widget.text):
        wide, high = label.texture_size
        if wide > label.width + SLACK or high > label.height + SLACK or label.shorten:
            wrong.append(
                f"cut: {label.text!r} needs {wide} × {high}, has {label.width:.0f} × {label.height:.0f}"
            )
        broken = [word for word in label.text.split() if _wide(label, word) > label.width + SLACK]
        wrong += [f"broken within a word: {word!r} in {label.width:.0f} px" for word in broken]
    for typed in (one.widget for one in seen if isinstance(one.widget, Typed)):
        if typed.line_height + typed.padding[1] + typed.padding[3] > typed.height + SLACK:
            wrong.append(f"cut: the line of a field is higher than the field ({typed.text!r})")
    return wrong


def _wide(label: Label, word: str) -> float:
    from kivy.core.text import Label as Measured

    return float(
        Measured(
            text=word, font_size=label.font_size, bold=label.bold, font_name=label.font_name
        ).get_extents(word)[0]
    )


def _outside(seen: list[Seen]) -> list[str]:
    """What nobody can bring into sight."""
    wrong = []
    for one in (one for one in seen if _tells(one.widget)):
        left, low, right, high = one.box
        sideways = left < one.clip[0] - SLACK or right > one.clip[2] + SLACK
        lost = not one.scrolls and (low < -SLACK or high > Window.height + SLACK)
        if sideways or lost:
            wrong.append(
                f"outside the window: {_name(one.widget)} at {tuple(round(side) for side in one.box)}"
            )
    return wrong


def _too_small(seen: list[Seen]) -> list[str]:
    wrong = []
    for widget in (one.widget for one in seen if isinstance(one.widget, Touchable | Typed)):
        least = dp(_least(widget))
        if widget.height < least - SLACK or widget.width < least - SLACK:
            wrong.append(
                f"too small: {_name(widget)} is {widget.width:.0f} × {widget.height:.0f}, least {least:.0f}"
            )
    return wrong


def _least(widget: Widget) -> float:
    kinds = ((TopLine, TOP_LINE), (Pad, PAD), (Key, KEY))
    return next((least for kind, least in kinds if isinstance(widget, kind)), TARGET)


def _in_the_way(seen: list[Seen]) -> list[str]:
    """Two things to touch at one place."""
    targets = [one for one in seen if isinstance(one.widget, Touchable | Typed)]
    return [
        f"in each other's way: {_name(one.widget)} and {_name(other.widget)}"
        for one, other in combinations(targets, 2)
        if _overlap(one.in_sight, other.in_sight)
    ]


def _overlap(one: Box, other: Box) -> bool:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > SLACK and high > SLACK


def _too_pale(seen: list[Seen]) -> list[str]:
    wrong = []
    for widget in (one.widget for one in seen):
        if isinstance(widget, Label) and widget.text:
            wrong += _pale(widget, widget.color, TEXT_CONTRAST)
        elif isinstance(widget, Typed):
            wrong += _pale(widget, widget.foreground_color, TEXT_CONTRAST)
        elif isinstance(widget, Sign):
            wrong += _pale(widget, theme.colour(widget.role), MARK_CONTRAST)
        if isinstance(widget, Painted) and widget.edge_role and widget.parent:
            wrong += _pale(widget.parent, theme.colour(widget.edge_role), MARK_CONTRAST)
    return wrong


def _pale(widget: Widget, colour: list[float], least: float) -> list[str]:
    reached = contrast(list(colour), _ground_of(widget))
    return (
        [f"too pale: {_name(widget)} stands at {reached:.1f}:1, least {least}:1"] if reached < least else []
    )


def _ground_of(widget: Widget) -> list[float]:
    """The colour that is painted behind a widget: its own ground, else that of whatever it lies on."""
    here = widget
    while here is not None and here is not here.parent:
        if isinstance(here, Painted) and here.ground_role:
            return theme.colour(here.ground_role)
        here = here.parent
    return theme.colour("ground")


def _tells(widget: Widget) -> bool:
    return isinstance(widget, Touchable | Typed | Sign) or bool(isinstance(widget, Label) and widget.text)


def _name(widget: Widget) -> str:
    return f"{type(widget).__name__} {getattr(widget, 'text', '') or getattr(widget, 'name', '')!r}".strip()

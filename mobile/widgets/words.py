"""Text that wraps and grows and is never cut. Knows no meaning.

`Words("…")` is body text; `heading`, `small` and `huge` make the other sizes.
"""

from typing import Any

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.label import Label

from mobile.theme import BODY, HUGE, SMALL, TITLE, theme


class Words(Label):
    """A text as wide as its place and as high as it needs. `role` is its colour, `points` its size [sp]."""

    role = StringProperty("ink")
    points = NumericProperty(BODY)

    def __init__(self, text: str = "", **given: Any) -> None:
        given = {"size_hint_y": None, "halign": "left", "valign": "middle", **given}
        super().__init__(text=text, **given)
        self.bind(width=self._wrap, texture_size=self._grow, text=self._grow)
        self.bind(role=self._look, points=self._look)
        theme.follow(self._look)
        self._look()
        self._wrap()
        self._grow()

    def _look(self, *_: object) -> None:
        self.color = self.disabled_color = theme.colour(self.role)  # Kivy's own would be pale on our grounds
        self.font_size = theme.type(self.points)

    def _wrap(self, *_: object) -> None:
        self.text_size = (self.width, None)

    def _grow(self, *_: object) -> None:
        if self.size_hint_y is None:
            self.height = self.texture_size[1] if self.text else 0


def heading(text: str, **given: Any) -> Words:
    """A heading."""
    return Words(text, points=TITLE, bold=True, **given)


def small(text: str, **given: Any) -> Words:
    """A line that is read after the others."""
    return Words(text, points=SMALL, role=given.pop("role", "quiet"), **given)


def huge(text: str, **given: Any) -> Words:
    """A number that is seen at arm's length."""
    return Words(text, points=HUGE, bold=True, **given)

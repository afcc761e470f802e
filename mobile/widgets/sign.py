"""Draws one of our signs in a square. Knows no meaning of it."""

from typing import Any

from kivy.graphics import Color, Ellipse, Line
from kivy.metrics import dp
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.widget import Widget

from mobile.theme import STROKE, theme
from mobile.widgets.signs import SIGNS, Path, Ring


class Sign(Widget):
    """The sign of a name, in the middle of its place; `side` [dp] grows with the type, `weight` thickens the strokes."""

    name = StringProperty("")
    role = StringProperty("ink")
    side = NumericProperty(28)
    weight = NumericProperty(1)

    def __init__(self, name: str = "", **given: Any) -> None:
        given = {"size_hint": (None, None), **given}
        super().__init__(name=name, **given)
        redraw = self._draw
        self.bind(pos=redraw, size=redraw, name=redraw, role=redraw, weight=redraw, side=self._size)
        theme.follow(self._size)
        self._size()

    def _size(self, *_: object) -> None:
        side = dp(self.side) * theme.type_size
        if self.size_hint_x is None:
            self.width = side
        if self.size_hint_y is None:
            self.height = side
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        side = min(self.width, self.height, dp(self.side) * theme.type_size)
        left, low = self.x + (self.width - side) / 2, self.y + (self.height - side) / 2
        with self.canvas:
            Color(*theme.colour(self.role))
            for stroke in SIGNS.get(self.name, ()):
                _stroke(stroke, left, low, side, dp(STROKE) * self.weight * 0.75)


def _stroke(stroke: Path | Ring, left: float, low: float, side: float, width: float) -> None:
    if isinstance(stroke, Path):
        points = [
            (left if place % 2 == 0 else low) + value * side for place, value in enumerate(stroke.points)
        ]
        Line(points=points, close=stroke.closed, width=width, cap="round", joint="round")
    elif stroke.filled:
        across, up = stroke.across * side, stroke.up * side
        middle = (left + stroke.x * side, low + stroke.y * side)
        Ellipse(pos=(middle[0] - across, middle[1] - up), size=(2 * across, 2 * up))
    else:
        box = (
            left + (stroke.x - stroke.across) * side,
            low + (stroke.y - stroke.up) * side,
            2 * stroke.across * side,
            2 * stroke.up * side,
        )
        Line(ellipse=(*box, stroke.start, stroke.end, 48), width=width)

"""A ground with an edge behind a widget, painted in roles and painted anew when the theme changes. Knows no content."""

from typing import Any

from kivy.graphics import Color, InstructionGroup, Line, RoundedRectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from mobile.theme import CORNER, STROKE, theme


class Painted(Widget):
    """Mix-in. `ground_role` and `edge_role` name colours of the theme; "" paints nothing. `lit` shows the keyboard."""

    ground_role = StringProperty("")
    edge_role = StringProperty("")
    edge_width = NumericProperty(STROKE)
    corner = NumericProperty(CORNER)
    lit = BooleanProperty(False)

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self._ground_colour, self._ground = Color(0, 0, 0, 0), RoundedRectangle()
        self._edge_colour, self._edge = Color(0, 0, 0, 0), Line()
        self._lit_colour, self._lit = Color(0, 0, 0, 0), Line()
        under = InstructionGroup()
        for part in (
            self._ground_colour,
            self._ground,
            self._edge_colour,
            self._edge,
            self._lit_colour,
            self._lit,
        ):
            under.add(part)
        # First of all: a field that is typed into draws its text in whichever colour was named last.
        self.canvas.before.insert(0, under)
        self.bind(pos=self._place, size=self._place, corner=self._place, edge_width=self._place)
        self.bind(ground_role=self.paint, edge_role=self.paint, lit=self.paint)
        theme.follow(self.paint)
        self.paint()

    def paint(self, *_: object) -> None:
        """Take the colours of now."""
        self._ground_colour.rgba = _colour(self.ground_role)
        self._edge_colour.rgba = _colour(self.edge_role)
        self._lit_colour.rgba = _colour("ink" if self.lit else "")

    def _place(self, *_: object) -> None:
        corner = dp(self.corner)
        self._ground.pos, self._ground.size, self._ground.radius = self.pos, self.size, [corner]
        inset = dp(self.edge_width) / 2
        box = (self.x + inset, self.y + inset, self.width - 2 * inset, self.height - 2 * inset)
        self._edge.rounded_rectangle = (*box, corner)
        self._edge.width = dp(self.edge_width) / 2 + 0.25  # Kivy's width is from the middle to the edge
        self._lit.rounded_rectangle = (
            self.x + dp(5),
            self.y + dp(5),
            max(0, self.width - dp(10)),
            max(0, self.height - dp(10)),
            corner,
        )
        self._lit.width = dp(2)


def _colour(role: str) -> list[float]:
    return theme.colour(role) if role else [0, 0, 0, 0]

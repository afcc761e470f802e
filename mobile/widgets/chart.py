"""Paints a drawing: lines, bars, signs and words at their places. Knows no season; what is drawn is decided elsewhere."""

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle
from kivy.metrics import dp
from kivy.properties import ObjectProperty
from kivy.uix.label import Label as KivyLabel
from kivy.uix.widget import Widget

from mobile.theme import SMALL, STROKE, theme
from shared_models.chart_shapes import Block, Drawing, Held, Ink, Label, Spot, Stroke
from shared_models.report_charts import Sign

ASIDE = 0.9  # [em] left and right of the drawing: room for half a sign and half a number of the scale
SERIES = {Ink.MARK: 0, Ink.NONE_CAUGHT: 0, Ink.UNTREATED: 1}  # which colour of the data a mark takes
ROLES = {Ink.GRID: "line", Ink.NOTHING: "ink", Ink.TREE: "ink"}
DASH = 0.25  # [em] of a line of the grid, and the gap after it


class Chart(Widget):
    """As wide as its place, as high as its drawing; painted anew when the theme changes."""

    drawing = ObjectProperty(Drawing(0.0, (), ""))

    def __init__(self, drawing: Drawing, ground_role: str = "ground", **given: Any) -> None:
        self._ground_role = ground_role  # what shows through a ring
        self._written: list[tuple[Label, KivyLabel]] = []
        # Once before the next frame, however often it is moved until then.
        self._paint_soon = Clock.create_trigger(self._paint, -1)
        super().__init__(drawing=drawing, **{"size_hint_y": None, **given})
        self.bind(pos=self._paint_soon, width=self._paint_soon, drawing=self._look)
        theme.follow(self._look)
        self._look()

    @property
    def em(self) -> float:
        """The size of the type in pixels."""
        return theme.type(SMALL)

    def _look(self, *_: object) -> None:
        self.height = self.drawing.height * self.em
        self.clear_widgets()
        labels = (shape for shape in self.drawing.shapes if isinstance(shape, Label))
        self._written = [(label, _written(label)) for label in labels]
        for _label, words in self._written:
            self.add_widget(words)
        self._paint_soon()

    def _paint(self, *_: object) -> None:
        self.canvas.before.clear()
        with self.canvas.before:
            for shape in self.drawing.shapes:
                if not isinstance(shape, Label):
                    self._draw(shape)
        for label, words in self._written:
            left = self._x(label.x) - _SHARE_LEFT[label.held] * words.width
            words.pos = (left, self._y(label.y) - words.height)
            words.opacity = 1 if self._x(1) - self._x(0) >= label.least * self.em else 0

    # ------------------------------------------------------------ places
    def _x(self, share: float) -> float:
        inset = ASIDE * self.em
        return float(self.x + inset + share * (self.width - 2 * inset))

    def _y(self, ems: float) -> float:
        return float(self.y + self.height - ems * self.em)

    # ------------------------------------------------------------ shapes
    def _draw(self, shape: Stroke | Spot | Block) -> None:
        Color(*_colour(shape.ink))
        if isinstance(shape, Stroke):
            self._stroke(shape)
        elif isinstance(shape, Block):
            left, low = self._x(shape.x), self._y(shape.y + shape.height)
            Rectangle(pos=(left, low), size=(self._x(shape.x + shape.width) - left, shape.height * self.em))
        else:
            self._spot(shape)

    def _stroke(self, stroke: Stroke) -> None:
        ends = (self._x(stroke.x1), self._y(stroke.y1), self._x(stroke.x2), self._y(stroke.y2))
        if stroke.ink is Ink.GRID:
            self._dashed(*ends)
        else:
            Line(points=ends, width=dp(STROKE) * 0.6, cap="none")

    def _dashed(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """Kivy's own dashes know neither width nor density."""
        length = max(abs(x2 - x1), abs(y2 - y1))
        steps = max(1, int(length / (2 * DASH * self.em)))
        for step in range(steps):
            begin, end = step / steps, (step + 0.5) / steps
            points = (
                x1 + (x2 - x1) * begin,
                y1 + (y2 - y1) * begin,
                x1 + (x2 - x1) * end,
                y1 + (y2 - y1) * end,
            )
            Line(points=points, width=dp(0.6))

    def _spot(self, spot: Spot) -> None:
        x, y, radius = self._x(spot.x), self._y(spot.y), spot.radius * self.em
        if spot.sign is Sign.TREATED:
            Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius))
            return
        edge = _square if spot.sign is Sign.UNTREATED else _ring
        edge(x, y, radius, _colour(spot.ink), theme.colour(self._ground_role))


_SHARE_LEFT = {Held.START: 0.0, Held.MIDDLE: 0.5, Held.END: 1.0}


def _written(label: Label) -> KivyLabel:
    words = KivyLabel(
        text=label.words,
        font_size=theme.type(SMALL * 0.85),
        color=theme.colour("quiet"),
        size_hint=(None, None),
    )
    words.texture_update()
    words.size = words.texture_size
    return words


def _ring(x: float, y: float, radius: float, ink: list[float], ground: list[float]) -> None:
    Color(*ground)
    Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius))
    Color(*ink)
    Line(circle=(x, y, radius), width=dp(STROKE) * 0.75)


def _square(x: float, y: float, radius: float, ink: list[float], ground: list[float]) -> None:
    """On its corner; the mesh is the ground inside."""
    corners = (x - radius, y, x, y + radius, x + radius, y, x, y - radius)
    Color(*ground)
    vertices = [value for i in range(0, 8, 2) for value in (corners[i], corners[i + 1], 0, 0)]
    Mesh(vertices=vertices, indices=[0, 1, 2, 3], mode="triangle_fan")
    Color(*ink)
    Line(points=corners, close=True, width=dp(STROKE) * 0.75, joint="miter")


def _colour(ink: Ink) -> list[float]:
    if ink in SERIES:
        return theme.data_colour(SERIES[ink])
    return theme.colour(ROLES[ink])

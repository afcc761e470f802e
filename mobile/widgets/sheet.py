"""A sheet over the screen, full width, at the thumb: a question and what can be answered. Knows no screen."""

from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.input.motionevent import MotionEvent
from kivy.metrics import dp
from kivy.uix.floatlayout import FloatLayout

from mobile.theme import COLUMN, theme
from mobile.widgets.columns import Scroll
from mobile.widgets.painted import Painted
from mobile.widgets.words import heading


class Sheet(FloatLayout):
    """Lies over everything; a touch beside it closes it, and nothing below is touched meanwhile."""

    def __init__(self, title: str, *content: Any, **given: Any) -> None:
        super().__init__(**given)
        with self.canvas.before:
            self._veil = Color(0, 0, 0, 0.45)
            self._over = Rectangle()
        self.paper = _Paper(size_hint=(None, None), pos_hint={"center_x": 0.5, "y": 0})
        self.paper.fill(heading(title), *content)
        self.add_widget(self.paper)
        self.bind(pos=self._place, size=self._place)
        self.paper.column.bind(height=self._place)
        self._place()

    def close(self) -> None:
        """Go away, with nothing answered."""
        if self.parent:
            self.parent.remove_widget(self)

    def on_touch_down(self, touch: MotionEvent) -> bool:
        """Beside the sheet: close."""
        if not self.paper.collide_point(*touch.pos):
            self.close()
            return True
        super().on_touch_down(touch)
        return True

    def _place(self, *_: object) -> None:
        self._over.pos, self._over.size = self.pos, self.size
        self.paper.width = min(self.width, dp(COLUMN))
        self.paper.height = min(self.height - dp(48), self.paper.column.height)


class _Paper(Painted, Scroll):
    """What the sheet is written on; scrolls where it is longer than the window."""

    def __init__(self, **given: Any) -> None:
        super().__init__(ground_role="ground", edge_role="line", corner=12, **given)
        self.column.padding = theme.gap(2)

"""A list of any length: only the rows in sight are widgets. Knows no record."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from kivy.core.text import Label as Measured
from kivy.metrics import dp
from kivy.uix.recycleboxlayout import RecycleBoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from mobile.theme import BODY, LEAST, SMALL, theme
from mobile.widgets.buttons import Row


@dataclass(frozen=True, slots=True)
class Listed:
    """One row: `name` tells it from the others when it is touched (a record's id); one without leads nowhere."""

    name: str
    text: str
    second: str = ""
    sign: str = ""


class _ListedRow(RecycleDataViewBehavior, Row):
    """A row that shows whichever item is scrolled into it; how high it is says the list."""

    def _grow(self, *_: object) -> None:
        """The list reckons the height of every row, of those out of sight too."""


class LongList(RecycleView):
    """Rows as high as their texts. `then` is told the name of the row that was touched."""

    row_class: type[Row] = _ListedRow

    def __init__(self, then: Callable[[str], Any], rows: Sequence[Listed] = (), **given: Any) -> None:
        super().__init__(**{"do_scroll_x": False, "bar_width": dp(4), **given})
        self._then = then
        self.rows: Sequence[Listed] = ()
        self._layout = RecycleBoxLayout(
            orientation="vertical",
            size_hint_y=None,
            default_size_hint=(1, None),
            default_size=(None, dp(LEAST)),
            key_size="row_size",
            spacing=theme.gap(),
            padding=[0, theme.gap(), theme.gap(), theme.gap()],
        )
        self._layout.bind(minimum_height=self._layout.setter("height"))
        self.add_widget(self._layout)
        self.viewclass = self.row_class
        self.bind(width=self._look)
        theme.follow(self._look)
        self.show(rows)

    def show(self, rows: Sequence[Listed]) -> None:
        """Show these rows."""
        self.rows = rows
        self._look()

    def _look(self, *_: object) -> None:
        self.bar_color = self.bar_inactive_color = theme.colour("line")
        body, small = (Measured(font_size=theme.type(size)) for size in (BODY, SMALL))
        self.data = [
            {**self.told(row), "row_size": (None, self._height(row, body, small))} for row in self.rows
        ]

    def told(self, row: Listed) -> dict[str, Any]:
        """What the widget of a row is told."""
        return {
            "name": row.name,
            "text": row.text,
            "second": row.second,
            "sign": row.sign,
            "sign_after": "on" if row.name else "",
            "rest_role": "raised" if row.name else "ground",
            "then": partial(self._then, row.name) if row.name else None,
        }

    def beside_words(self, row: Listed) -> float:
        """How much higher a row is than its words [px]."""
        return 0.0

    def _height(self, row: Listed, body: Measured, small: Measured) -> float:
        signs = dp(28 if row.sign else 0) + dp(22 if row.name else 0)
        wide = self.width - theme.gap(1 + 3 + 2) - signs * theme.type_size
        high = _high(row.text, body, wide) + _high(row.second, small, wide) + self.beside_words(row)
        return max(float(dp(LEAST)), high + theme.gap(1.5))


def _high(text: str, measured: Measured, wide: float) -> float:
    """How high a text is when it wraps at a width; measured, since a row out of sight is no widget."""
    if not text:
        return 0
    if "\n" in text:
        return sum(_high(line, measured, wide) for line in text.split("\n"))
    whole, line_height = measured.get_extents(text)
    if whole <= wide:
        return float(line_height)
    lines, line = 1, ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and measured.get_extents(longer)[0] > wide:
            lines, line = lines + 1, word
        else:
            line = longer
    return float(lines * line_height)

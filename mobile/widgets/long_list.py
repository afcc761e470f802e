"""A list of any length: only the rows in sight are widgets. Knows no record."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from kivy.metrics import dp
from kivy.uix.recycleboxlayout import RecycleBoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from mobile.theme import LEAST, theme
from mobile.widgets.buttons import Row


@dataclass(frozen=True, slots=True)
class Listed:
    """One row: `name` tells it from the others when it is touched (a record's id)."""

    name: str
    text: str
    second: str = ""
    sign: str = ""


class _ListedRow(RecycleDataViewBehavior, Row):
    """A row that shows whichever item is scrolled into it."""


class LongList(RecycleView):
    """Rows of one height: two lines of text at most. `then` is told the name of the row that was touched."""

    def __init__(self, then: Callable[[str], Any], rows: Sequence[Listed] = (), **given: Any) -> None:
        super().__init__(**{"do_scroll_x": False, "bar_width": dp(4), **given})
        self._then = then
        self.rows: Sequence[Listed] = ()
        self._layout = RecycleBoxLayout(
            orientation="vertical",
            size_hint_y=None,
            default_size_hint=(1, None),
            spacing=theme.gap(),
            padding=[0, theme.gap(), theme.gap(), theme.gap()],
        )
        self._layout.bind(minimum_height=self._layout.setter("height"))
        self.add_widget(self._layout)
        self.viewclass = _ListedRow
        theme.bind(revision=self._look)
        self.show(rows)

    def show(self, rows: Sequence[Listed]) -> None:
        """Show these rows."""
        self.rows = rows
        self._look()

    def _look(self, *_: object) -> None:
        lines = 2 if any(row.second for row in self.rows) else 1
        height = max(dp(LEAST), theme.gap(2) + lines * theme.type(24))
        self._layout.default_size = (None, height)
        self.bar_color = self.bar_inactive_color = theme.colour("line")
        self.data = [
            {
                "name": row.name,
                "text": row.text,
                "second": row.second,
                "sign": row.sign,
                "then": lambda name=row.name: self._then(name),
            }
            for row in self.rows
        ]
        self.refresh_from_data()

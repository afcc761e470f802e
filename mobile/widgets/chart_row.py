"""Rows with a drawing between their words, by themselves or in a list of any length. Know no season."""

from dataclasses import dataclass
from typing import Any

from kivy.uix.recycleview.views import RecycleDataViewBehavior
from kivy.uix.widget import Widget

from mobile.theme import SMALL, theme
from mobile.widgets.buttons import Row
from mobile.widgets.chart import Chart
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.touchable import Then
from shared_models.chart_shapes import Drawing

NOTHING_DRAWN = Drawing(0.0, (), "")


class ChartRow(Row):
    """A row that shows `text`, a drawing, and `second`; leads somewhere."""

    def __init__(
        self, text: str = "", drawing: Drawing = NOTHING_DRAWN, then: Then | None = None, **given: Any
    ) -> None:
        super().__init__(text, then, **given)
        self._chart = Chart(drawing, ground_role=self.rest_role)
        self.tell()

    @property
    def drawing(self) -> Drawing:
        """What is drawn."""
        return self._chart.drawing

    @drawing.setter
    def drawing(self, drawing: Drawing) -> None:
        self._chart.drawing = drawing
        self.tell()

    def stacked(self) -> list[Widget]:
        """The drawing between the words."""
        if not hasattr(self, "_chart") or not self._chart.drawing.shapes:
            return super().stacked()
        first, *others = super().stacked()
        return [first, self._chart, *others]


class _DrawnRow(RecycleDataViewBehavior, ChartRow):
    """A row that shows whichever item is scrolled into it; how high it is says the list."""

    def _grow(self, *_: object) -> None:
        """The list reckons it."""


@dataclass(frozen=True, slots=True)
class DrawnRow(Listed):
    """A row of a list with a drawing."""

    drawing: Drawing = NOTHING_DRAWN


class ChartList(LongList):
    """Rows with drawings; `then` is told the name of the row that was touched."""

    row_class = _DrawnRow

    def told(self, row: Listed) -> dict[str, Any]:
        """With the drawing."""
        return {**super().told(row), "drawing": _drawn(row)}

    def beside_words(self, row: Listed) -> float:
        """The drawing."""
        return _drawn(row).height * theme.type(SMALL)


def _drawn(row: Listed) -> Drawing:
    return row.drawing if isinstance(row, DrawnRow) else NOTHING_DRAWN

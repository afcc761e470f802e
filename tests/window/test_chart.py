"""A drawing on the phone: shapes where they belong, in colours that can be told from their ground, words not on each other."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from kivy.app import App
from kivy.core.window import Window
from kivy.uix.boxlayout import BoxLayout

from mobile.theme import contrast, theme
from mobile.widgets.chart import SERIES, Chart
from mobile.widgets.chart_row import ChartRow
from shared_models.chart_shapes import Block, Drawing, Ink, Label, Spot, Stroke, percent_axis
from shared_models.report_charts import Sign
from tests.window.phone import Phone, pixel_of

HALF = Drawing(
    4.0,
    (
        Block(0.5, 0.0, 0.5, 2.0, Ink.MARK),
        Stroke(0.0, 3.0, 0.4, 3.0, Ink.UNTREATED),
        Spot(0.1, 1.0, 0.45, Sign.TREATED, Ink.TREE),
        Label(0.2, 2.5, "here"),
    ),
    "Half of it is full.",
)


@pytest.fixture(autouse=True)
def sun():
    """The theme as it is usually, before and after."""
    theme.scheme, theme.type_size = "sun", 1.0
    yield
    theme.scheme, theme.type_size = "sun", 1.0


def opened(phone: Phone, drawing: Drawing, size: tuple[int, int] = (360, 640)) -> Chart:
    """A chart by itself at the lower edge of the window."""
    chart = Chart(drawing)
    app = App()
    app.root = BoxLayout()
    app.root.add_widget(chart)
    Window.clearcolor = theme.colour("ground")
    phone.open(app, size)
    phone.frames(4)
    return chart


def colour(rgba: list[float]) -> tuple[int, ...]:
    """As a pixel has it."""
    return tuple(round(part * 255) for part in rgba[:3])


def at(chart: Chart, x: float, y: float) -> tuple[int, int]:
    """Where a place of the drawing is in the window."""
    return round(chart._x(x)), round(chart._y(y))


def test_a_bar_fills_its_share_and_nothing_else(phone, tmp_path: Path):
    chart = opened(phone, HALF)
    picture = phone.picture(tmp_path / "chart.png")
    mark, ground = colour(theme.data_colour(0)), colour(theme.colour("ground"))
    assert pixel_of(picture, *at(chart, 0.75, 1.0)) == mark
    assert pixel_of(picture, *at(chart, 0.45, 1.0)) == ground
    assert pixel_of(picture, *at(chart, 0.75, 2.3)) == ground
    assert pixel_of(picture, *at(chart, 0.1, 1.0)) == colour(theme.colour("ink"))


def test_another_scheme_and_larger_type_paint_it_anew(phone, tmp_path: Path):
    chart = opened(phone, HALF)
    before = chart.height
    theme.scheme, theme.type_size = "dusk", 1.5
    phone.frames(4)
    assert chart.height == pytest.approx(1.5 * before)
    picture = phone.picture(tmp_path / "chart.png")
    assert pixel_of(picture, *at(chart, 0.75, 1.0)) == colour(theme.data_colour(0))
    assert [child.color for child in chart.children] == [theme.colour("quiet")]


@pytest.mark.parametrize(
    ("width", "shown"), [(360, ["0", "25", "50", "75", "100 %"]), (200, ["0", "50", "100 %"])]
)
def test_numbers_of_a_scale_never_lie_on_each_other(phone, width, shown):
    chart = opened(phone, percent_axis(), (width, 640))
    labels = sorted((child for child in chart.children if child.opacity), key=lambda child: child.x)
    assert [label.text for label in labels] == shown
    assert all(one.right <= other.x for one, other in pairwise(labels))
    assert labels[0].x >= 0 and labels[-1].right <= width


def test_a_row_shows_its_drawing_between_its_words(phone):
    row = ChartRow("Name", HALF, lambda: None, second="numbers")
    app = App()
    app.root = BoxLayout()
    app.root.add_widget(row)
    phone.open(app, (360, 640))
    phone.frames(4)
    name, chart, numbers = (widget for widget in row._column.children[::-1])
    assert name.text == "Name" and isinstance(chart, Chart) and numbers.text == "numbers"
    assert name.y >= chart.y + chart.height - 1 and chart.y >= numbers.y + numbers.height - 1
    row.drawing = Drawing(0.0, (), "")
    assert chart not in row._column.children


@pytest.mark.parametrize("scheme", ["sun", "dusk"])
@pytest.mark.parametrize("ground", ["ground", "raised", "pressed"])
def test_marks_can_be_told_from_every_ground_they_lie_on(scheme, ground):
    theme.scheme = scheme
    told = {ink: contrast(theme.data_colour(series), theme.colour(ground)) for ink, series in SERIES.items()}
    least = 3.0 if ground != "pressed" else 2.5  # WCAG 2.2, 1.4.11; pressed is seen for the time of a touch
    assert min(told.values()) >= least, told

"""Bands of events drawn: a day stands where the scale says, all stands inside the frame, and what is far off is left out."""

from __future__ import annotations

import pytest

from shared_models.calculations.forecast import Basis
from shared_models.chart_shapes import Block, Drawing, Ink, Label, Stroke
from shared_models.timing.parts import EventBand
from shared_models.timing_drawings import AHEAD, BACK, band_drawing

TODAY = "2026-06-04"
DAYS = BACK + AHEAD


def band(earliest: str | None, latest: str | None) -> EventBand:
    """First egg hatch between two days."""
    return EventBand(
        key="first_hatch",
        low=138.9,
        high=138.9,
        earliest=earliest,
        latest=latest,
        basis=Basis.LAST_DAYS,
        years=[],
        unchecked=False,
        figures=[],
    )


def drawn(earliest: str | None, latest: str | None) -> Drawing:
    found = band_drawing(band(earliest, latest), TODAY)
    assert found is not None
    return found


def bar(drawing: Drawing) -> Block:
    return next(shape for shape in drawing.shapes if isinstance(shape, Block))


def test_a_band_covers_its_days_and_today_is_an_upright_line() -> None:
    found = drawn("2026-06-07", "2026-06-11")
    assert bar(found).x == pytest.approx((BACK + 3) / DAYS)
    assert bar(found).width == pytest.approx(5 / DAYS)  # five days, both ends included
    (line,) = (one for one in found.shapes if isinstance(one, Stroke) and one.ink is Ink.NOTHING)
    assert line.x1 == line.x2 == pytest.approx(BACK / DAYS)
    assert "expected 2026-06-07 to 2026-06-11" in found.told and TODAY in found.told


def test_months_stand_at_their_first_day() -> None:
    labels = [one for one in drawn("2026-06-07", "2026-06-11").shapes if isinstance(one, Label)]
    assert [(label.words, round(label.x * DAYS)) for label in labels] == [
        ("Jun", BACK - 3),
        ("Jul", BACK + 27),
    ]


@pytest.mark.parametrize(
    ("earliest", "latest"),
    [
        ("2026-04-01", "2026-12-24"),
        ("2026-05-14", "2026-05-14"),
        ("2026-07-15", "2026-08-01"),
        ("2026-06-20", None),
    ],
)
def test_everything_stands_inside_its_frame(earliest: str, latest: str | None) -> None:
    found = drawn(earliest, latest)
    assert bar(found).x >= 0 and bar(found).x + bar(found).width <= 1 + 1e-9 and bar(found).width > 0
    for shape in found.shapes:
        if isinstance(shape, Stroke):
            assert 0 <= shape.x1 <= 1 and 0 <= shape.x2 <= 1 and max(shape.y1, shape.y2) <= found.height


def test_a_band_without_an_end_runs_to_the_end_of_the_scale() -> None:
    found = drawn("2026-06-20", None)
    assert bar(found).x + bar(found).width == pytest.approx(1.0) and "no end can be named" in found.told


@pytest.mark.parametrize(
    ("earliest", "latest"),
    [(None, None), ("2026-04-01", "2026-05-13"), ("2026-07-16", "2026-07-30"), ("2026-09-01", None)],
)
def test_what_lies_outside_the_scale_is_not_drawn(earliest: str | None, latest: str | None) -> None:
    assert band_drawing(band(earliest, latest), TODAY) is None

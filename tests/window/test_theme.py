"""Colours by role: every pair that is used stands apart far enough, in both schemes."""

from __future__ import annotations

import pytest

from mobile.theme import DATA, ROLES, Theme, contrast

GROUNDS = ("ground", "raised", "pressed")


@pytest.fixture(params=list(ROLES))
def scheme(request: pytest.FixtureRequest) -> Theme:
    """A theme in each scheme."""
    return Theme(scheme=request.param)


def test_black_on_white_is_twenty_one_to_one():
    assert contrast([0, 0, 0, 1], [1, 1, 1, 1]) == pytest.approx(21)  # WCAG 2.2, definition of contrast ratio


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", ["ink", "quiet"])
def test_text_stands_at_seven_to_one(scheme: Theme, ink: str, ground: str):
    assert contrast(scheme.colour(ink), scheme.colour(ground)) >= 7


@pytest.mark.parametrize("ground", ["accent", "accent_pressed"])
def test_text_on_the_accent_stands_at_seven_to_one(scheme: Theme, ground: str):
    assert contrast(scheme.colour("accent_ink"), scheme.colour(ground)) >= 7


@pytest.mark.parametrize("ground", ["ground", "raised"])
def test_a_warning_can_be_text(scheme: Theme, ground: str):
    assert contrast(scheme.colour("warning"), scheme.colour(ground)) >= 7


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("mark", ["line", "accent"])
def test_marks_stand_at_three_to_one(scheme: Theme, mark: str, ground: str):
    assert contrast(scheme.colour(mark), scheme.colour(ground)) >= 3


def test_colours_of_charts_stand_at_three_to_one_and_go_round(scheme: Theme):
    count = len(DATA[scheme.scheme])
    colours = [scheme.data_colour(number) for number in range(count)]
    assert min(contrast(colour, scheme.colour("ground")) for colour in colours) >= 3
    assert scheme.data_colour(count) == colours[0]


def test_a_change_of_scheme_or_type_size_is_counted_once_each():
    theme = Theme()
    theme.scheme = "dusk"
    theme.type_size = 1.25
    assert theme.revision == 2 and theme.type(20) == pytest.approx(25)

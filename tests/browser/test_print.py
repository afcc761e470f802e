"""What comes out of a printer: a clean sheet of few pages, without what is only for a screen."""

from __future__ import annotations

import re

import pytest

from tests.browser.chromium import LARGE, ORDINARY
from tests.browser.looking import cut_off, overlapping, too_pale

A4_BETWEEN_MARGINS = {"width": 703, "height": 1032}  # 186 mm and 273 mm at 96 CSS pixels an inch


def pages_of(pdf: bytes) -> int:
    """How many pages a PDF has."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.fixture
def sheet(groups, connected):
    """Opens a season as it is printed."""

    def open_sheet(group: str, path: str = "/season/2026", **more):
        page = connected(group, **more)
        page.goto(groups.server.url + path)
        page.emulate_media(media="print")
        page.set_viewport_size(A4_BETWEEN_MARGINS)
        return page

    return open_sheet


@pytest.mark.parametrize("type_size", [ORDINARY, LARGE], ids=["100 %", "150 %"])
@pytest.mark.parametrize(
    ("group", "path", "most"),
    [
        ("Three trees (invented)", "/season/2026", 2),
        ("Two gardens (invented)", "/season/2026", 3),
        ("Two gardens (invented)", "/season/2025-26", 2),
        ("Three years (invented)", "/years", 3),
    ],
)
def test_a_small_season_is_printed_on_few_pages(sheet, group, path, most, type_size):
    page = sheet(group, path, type_size=type_size)
    assert 1 <= pages_of(page.pdf(prefer_css_page_size=True)) <= most


def test_pages_of_a_print_are_counted(stranger):
    stranger.set_content("<p>1</p><p style='break-before: page'>2</p><p style='break-before: page'>3</p>")
    assert pages_of(stranger.pdf()) == 3


def test_the_sheet_has_the_table_and_not_what_is_only_for_a_screen(sheet):
    page = sheet("Two gardens (invented)")
    assert page.locator("tr.mix").first.is_visible()
    assert not page.get_by_text("All seasons").is_visible()
    assert not page.get_by_text("Each tree alone").is_visible()
    assert page.get_by_text("As shared until").is_visible()


def test_an_open_list_is_printed(sheet):
    page = sheet("Two gardens (invented)")
    page.emulate_media(media="screen")
    page.locator("summary", has_text="Each tree alone").click()
    page.emulate_media(media="print")
    assert page.get_by_text("Likely, on this tree").is_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_sheet_is_black_on_white_whatever_the_screen_was(sheet, scheme):
    page = sheet("Two gardens (invented)", color_scheme=scheme)
    ink = page.evaluate(
        "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]"
    )
    assert ink == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
    assert too_pale(page) == []


@pytest.mark.parametrize("path", ["/years", "/season/2026"])
def test_a_grade_is_dark_on_white_where_a_printer_leaves_grounds_out(sheet, path):
    page = sheet("Three years (invented)", path)
    firm = page.locator(".grade.firm").first
    look = firm.evaluate("one => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color]")
    assert look == ["rgba(0, 0, 0, 0)", "rgb(0, 0, 0)"]


@pytest.mark.parametrize(
    "group", ["Two gardens (invented)", "Odd names (invented)", "Three trees (invented)"]
)
def test_nothing_is_cut_off_or_covered_on_the_sheet(sheet, group):
    page = sheet(group)
    assert (cut_off(page), overlapping(page)) == ([], [])

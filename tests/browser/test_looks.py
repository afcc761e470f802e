"""How pages are drawn: at widths from a small phone to a desk, light and dark, with ordinary and large type."""

from __future__ import annotations

import pytest

from tests.browser.chromium import LARGE, ORDINARY
from tests.browser.looking import cut_off, open_all_lists, overlapping, too_pale, too_small

WIDTHS = {360: 640, 400: 800, 412: 892, 700: 900, 1280: 800}
PAGES = (
    ("Two gardens (invented)", "/season/2026"),
    ("Two gardens (invented)", "/season/2025-26"),
    ("Odd names (invented)", "/season/2026"),
    ("Three trees (invented)", "/season/2026"),
    ("Set apart (invented)", "/season/2026"),
    ("Three years (invented)", "/season/2026?cultivar=Dawnlet&damage=deep"),
    ("Three years (invented)", "/years"),
    ("Odd names (invented)", "/years"),
    ("Nothing yet", "/years"),
    ("Three years (invented)", "/plan"),
    ("Timed garden (invented)", "/timing/2014?day=2014-06-10"),
    ("Nothing yet", "/timing"),
    ("Nothing yet", "/season/2026"),
    ("Nothing yet", "/season"),
    ("Two gardens (invented)", "/season"),
    ("Two gardens (invented)", "/connect"),
    ("Two gardens (invented)", "/connect?code=0000"),
    ("Two gardens (invented)", "/nothing"),
)
schemes = pytest.mark.parametrize("scheme", ["light", "dark"])
type_sizes = pytest.mark.parametrize("type_size", [ORDINARY, LARGE], ids=["100 %", "150 %"])


@type_sizes
@pytest.mark.parametrize(("group", "path"), PAGES)
def test_nothing_is_cut_off_covered_or_out_of_the_window(groups, connected, group, path, type_size):
    page = connected(group, type_size=type_size)
    page.goto(groups.server.url + path)
    for lists in ("closed", "open"):
        if lists == "open":
            open_all_lists(page)
        for width, height in WIDTHS.items():
            page.set_viewport_size({"width": width, "height": height})
            assert (width, lists, cut_off(page), overlapping(page)) == (width, lists, [], [])


@schemes
def test_every_text_and_mark_stands_out_from_its_ground(groups, connected, scheme):
    pages = {group: connected(group, color_scheme=scheme) for group, _ in PAGES}
    for group, path in PAGES:
        pages[group].goto(groups.server.url + path)
        open_all_lists(pages[group])
        for width in (360, 1280):
            pages[group].set_viewport_size({"width": width, "height": WIDTHS[width]})
            assert (path, width, too_pale(pages[group])) == (path, width, [])


@schemes
def test_each_scheme_has_its_own_ground(connected, scheme):
    page = connected(color_scheme=scheme)
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground == {"light": "rgb(255, 255, 255)", "dark": "rgb(18, 21, 18)"}[scheme]


@type_sizes
def test_what_is_to_be_touched_is_as_high_as_a_fingertip(groups, connected, type_size):
    pages = {group: connected(group, width=360, type_size=type_size) for group, _ in PAGES}
    for group, path in PAGES:
        pages[group].goto(groups.server.url + path)
        assert (path, too_small(pages[group])) == (path, [])


def test_the_reader_s_own_type_size_is_kept(connected):
    sizes = [
        connected(type_size=size).evaluate("parseFloat(getComputedStyle(document.body).fontSize)")
        for size in (ORDINARY, LARGE)
    ]
    assert sizes[1] == pytest.approx(1.5 * sizes[0])


@pytest.mark.parametrize("width", [360, 1280])
def test_the_first_comparison_is_seen_without_scrolling(groups, connected, width):
    page = connected(width=width, height=WIDTHS[width])
    page.goto(f"{groups.server.url}/season/2026")
    first = page.locator("svg.range").first.bounding_box()
    assert first["y"] + first["height"] < WIDTHS[width]


def test_on_a_wide_screen_the_comparison_stands_beside_what_is_to_be_read_with_it(groups, connected):
    page = connected(width=1280)
    page.goto(f"{groups.server.url}/season/2026")
    table, beside = page.locator(".season-table").bounding_box(), page.locator(".read-with").bounding_box()
    assert beside["x"] >= table["x"] + table["width"] and beside["y"] == table["y"]


# ---------------------------------------------------------------- the measuring itself
def test_the_measuring_finds_what_is_wrong(stranger):
    stranger.set_content(
        """<body style="margin:0;background:#fff;color:#000"><main>
        <p style="width:9000px">far too wide for any window</p>
        <p style="position:absolute;top:200px;left:0;margin:0">one text</p>
        <p style="position:absolute;top:204px;left:9px;margin:0">over another</p>
        <p style="color:#777">grey on white</p>
        <svg><circle class="mark" r="9" style="fill:#ccc"/></svg>
        <div style="height:9px;overflow:hidden">cut<br>off</div>
        <button style="height:20px;border:1px solid #eee">small</button></main></body>"""
    )
    assert any("scrolls sideways" in one for one in cut_off(stranger))
    assert any("cut off below" in one for one in cut_off(stranger))
    assert any("one text" in one and "over another" in one for one in overlapping(stranger))
    pale = too_pale(stranger)
    assert any("grey on white" in one for one in pale) and any("mark" in one for one in pale)
    assert any("border" in one for one in pale)
    assert too_small(stranger) == ["20 px high: button. “small”"]

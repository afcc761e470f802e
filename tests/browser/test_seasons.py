"""Choosing a season, and what stands where nothing is recorded or nothing can be shown."""

from __future__ import annotations

import pytest


def test_the_seasons_of_a_group_are_links_newest_first(connected):
    page = connected()
    listed = page.get_by_role("listitem").all_inner_texts()
    assert listed == sorted(listed, reverse=True) and {"Season 2026", "Season 2025/26"} <= set(listed)
    assert page.get_by_text("Two gardens (invented)").is_visible()


def test_a_southern_season_has_an_address_of_its_own(connected):
    page = connected()
    page.get_by_role("link", name="Season 2025/26").click()
    assert page.url.endswith("/season/2025-26")
    assert page.get_by_role("heading", level=1).inner_text() == "Season 2025/26"
    assert page.get_by_text("kaolin film").first.is_visible()
    assert page.get_by_text("Hillside").count() == 0
    page.get_by_role("link", name="All seasons").click()
    assert page.url.endswith("/season")


def test_a_group_sees_no_season_of_another_group(connected):
    page = connected("Three trees (invented)")
    assert page.get_by_role("listitem").all_inner_texts() == ["Season 2026"]
    page.get_by_role("link", name="Season 2026").click()
    assert page.get_by_text("Back garden (invented)").first.is_visible()
    assert "Hillside" not in page.content()


def test_a_group_without_records_is_told_what_would_fill_the_page(connected):
    page = connected("Nothing yet")
    assert "Nothing has been shared yet" in page.inner_text("main")
    assert "connected to this group by a one-time code" in page.inner_text("main")


def test_a_season_without_records_says_what_would_fill_the_page(groups, connected):
    page = connected("Nothing yet")
    assert page.goto(f"{groups.server.url}/season/2026").status == 200
    told = page.inner_text("main")
    assert "Nothing was recorded for this season yet" in told
    assert all(thing in told for thing in ("left untreated on purpose", "about 30 a tree", "Drops", "Moths"))
    assert page.get_by_role("table").count() == 0
    assert "nvented" not in told, "only what is marked as invented is called so"


@pytest.mark.parametrize(
    ("path", "status", "sentence"),
    [
        ("/season/last", 400, "“last” names no season; write 2026 in the north or 2026/27 in the south."),
        ("/season/2026-28", 400, "“2026-28” names no season"),
        ("/nothing/here", 404, "There is nothing at this address."),
        ("/season/2026/more", 404, "There is nothing at this address."),
    ],
)
def test_a_wrong_address_is_a_page_with_a_sentence_and_a_way_back(groups, connected, path, status, sentence):
    page = connected()
    assert page.goto(groups.server.url + path).status == status
    assert sentence in page.inner_text("main")
    page.get_by_role("link", name="Back to the seasons").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Seasons"

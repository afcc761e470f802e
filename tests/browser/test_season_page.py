"""What the season page says and in which order, to eyes, to a keyboard and to a screen reader."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from shared_models.report_words import percent
from shared_models.reports import SeasonReport, season_report
from shared_models.season_records import from_entries
from tests.browser.season import northern_season


@pytest.fixture(scope="module")
def northern_report() -> SeasonReport:
    """The report that the same records give without any server (ids differ, numbers do not)."""
    return season_report(from_entries(northern_season(), "2026"))


@pytest.fixture
def page(groups, connected):
    """The northern season."""
    page = connected()
    page.goto(f"{groups.server.url}/season/2026")
    return page


def texts(locator) -> list[str]:
    """What stands in each, without line breaks."""
    return [" ".join(text.split()) for text in locator.all_inner_texts()]


def test_every_mix_stands_in_the_table_with_damage_range_trees_and_fruit(page, northern_report):
    shown = {tuple(texts(row.locator("td.number"))) for row in page.locator("tr.mix").all()}
    wanted = set()
    for line in northern_report.mixes:
        rate = line.all_fruit or line.picked
        trees = "1 tree" if rate.trees == 1 else f"{rate.trees} trees"
        low_high = f"{percent(rate.low)}–{percent(rate.high)} %"
        wanted.add((f"{percent(rate.rate)} %", low_high, trees, f"{rate.scored:g} fruit"))
    assert shown == wanted and len(northern_report.mixes) == 5


def test_a_mix_is_drawn_where_its_numbers_are(page, northern_report):
    for row in page.locator("tr.mix").all():
        drawing = row.locator("svg.range")
        box = drawing.bounding_box()
        rate, low_high = texts(row.locator("td.number"))[:2]
        low, high = map(float, re.findall(r"[\d.]+", low_high))
        span = drawing.locator("line.span").first.bounding_box()
        assert (span["x"] - box["x"]) / box["width"] == pytest.approx(low / 100, abs=0.005)
        assert (span["x"] + span["width"] - box["x"]) / box["width"] == pytest.approx(high / 100, abs=0.005)
        sign = drawing.locator(".dot, .ring, .bare").bounding_box()
        middle = (sign["x"] + sign["width"] / 2 - box["x"]) / box["width"]
        assert middle == pytest.approx(float(rate.removesuffix(" %")) / 100, abs=0.005)
        assert drawing.locator(".one-tree").count() == int(texts(row.locator("td.number"))[2].split()[0])


def test_kinds_of_mixes_have_signs_of_their_own_that_the_legend_explains(page):
    signs = {}
    for row in page.locator("tr.mix").all():
        sign = row.locator("svg.range").locator(".dot, .ring, .bare").get_attribute("class").split()[-1]
        signs[row.locator("th").inner_text()] = sign
    untreated = [name for name in signs if "left untreated" in name and "beside" not in name]
    beside = [name for name in signs if name.startswith("bare beside bagged fruit")]
    assert [signs[name] for name in untreated] == ["bare"] and [signs[name] for name in beside] == ["ring"]
    assert sum(sign == "dot" for sign in signs.values()) == len(signs) - 2
    legend = page.locator("ul.legend li")
    assert texts(legend) == [
        "had what is named", "bare fruit on trees with bags", "declared left untreated", "95 % range", "one tree",
    ]  # fmt: skip


def test_every_drawing_has_a_title_and_says_its_numbers(page):
    drawings = page.locator("svg[role=img]").all()
    drawn = page.locator("tr.mix").count() + page.locator("svg.difference").count()
    assert len(drawings) == drawn + 1 and page.locator("svg.difference").count() > 0
    for drawing in drawings:
        title, told = drawing.locator("title").text_content(), drawing.locator("desc").text_content()
        assert title and re.search(r"\d", told)
        named = [f"{drawing.locator(tag).get_attribute('id')}" for tag in ("title", "desc")]
        assert drawing.get_attribute("aria-labelledby").split() == named
    ids = page.locator("[id]").evaluate_all("all => all.map(each => each.id)")
    assert len(set(ids)) == len(ids)


def test_the_table_comes_first_then_what_is_to_be_read_with_it_then_trees_traps_and_doubts(page):
    headings = [text.strip() for text in page.locator("h2").all_inner_texts()]
    assert headings == [
        "Damage by what the trees had", "Read this with it", "What can be said", "What it took", "Trees", "Traps",
        "Have a look", "Before next season: what so many trees can show", "What this report cannot do",
    ]  # fmt: skip


@pytest.mark.parametrize("path", ["/season/2026", "/season", "/connect", "/nothing"])
def test_headings_begin_with_one_of_the_first_level_and_leave_none_out(groups, page, path):
    page.goto(groups.server.url + path)
    levels = page.locator("h1, h2, h3, h4, h5, h6").evaluate_all("all => all.map(each => +each.tagName[1])")
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(later <= earlier + 1 for earlier, later in pairwise(levels))


def test_warnings_stand_with_the_mix_that_they_are_about(page):
    notes = page.locator("tr.mix", has_text="netting").locator("xpath=following-sibling::tr[1]")
    assert "One tree says little about a method" in notes.inner_text()
    assert "NOT_RANDOM" not in page.content()
    assert "methods were not dealt out by chance" in page.locator(".read-with").inner_text()


def test_trees_in_no_comparison_are_named_with_reasons(page):
    told = page.locator("section", has=page.get_by_role("heading", name="Trees", exact=True)).inner_text()
    assert re.search(r"Not recorded: in no comparison, never untreated\s+Hillside \(invented\): H13\b", told)
    assert re.search(r"H14 · hail broke its crown · 2026-08-01", told)
    assert re.search(r"Declared left untreated\s+Hillside \(invented\): H4, H8, H9, H10, H11", told)


def test_a_label_on_two_trees_is_shown_with_what_to_do(page):
    told = page.locator("section", has_text="Have a look").last.inner_text()
    assert "H4 (2)" in told and "say on a phone that they are" in told


def test_weeks_with_none_and_weeks_not_known_are_drawn_differently(page):
    weeks = page.locator("svg.weeks")
    page.get_by_text("Week by week").click()
    rows = texts(page.locator("details", has_text="Week by week").locator("tbody tr:not(.group) td"))
    none, caught = rows.count("0.0"), sum(text not in ("0.0", "not known") for text in rows)
    assert weeks.locator(".none-caught").count() == none > 0
    assert weeks.locator("rect.bar").count() == caught > 5


def test_a_list_is_opened_with_the_keyboard(page):
    summary = page.locator("summary", has_text="Every visit")
    page.locator("summary", has_text="Week by week").focus()
    page.keyboard.press("Tab")
    assert summary.evaluate("each => each === document.activeElement")
    page.keyboard.press("Enter")
    assert page.get_by_text("can't read").or_(page.get_by_text("not visited")).first.is_visible()


def test_the_focus_is_seen_on_everything_that_can_have_it(groups, page):
    for path in ("/season/2026", "/season/2026?damage=deep", "/season", "/plan", "/connect", "/nothing"):
        page.goto(groups.server.url + path)
        controls = page.locator("a, button, input, select, summary").all()
        count = sum(control.is_visible() for control in controls)
        assert count > 0
        for _ in range(count):
            page.keyboard.press("Tab")
            outline = page.evaluate(
                """() => { const style = getComputedStyle(document.activeElement);
                return [document.activeElement.tagName, style.outlineStyle, parseFloat(style.outlineWidth)] }"""
            )
            assert outline[0] != "BODY" and outline[1] == "solid" and outline[2] >= 2, (path, outline)


@pytest.mark.parametrize("width", [360, 1280])
def test_tables_stay_tables_for_a_screen_reader_whatever_they_look_like(page, width):
    page.set_viewport_size({"width": width, "height": 800})
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    roles = [node["role"]["value"] for node in nodes if not node.get("ignored") and "role" in node]
    drawn = page.locator("section > table, .beside table").all()
    tables = [table for table in drawn if table.is_visible()]
    assert roles.count("table") == len(tables) == 2
    assert roles.count("columnheader") == 6 + 5
    assert roles.count("row") == sum(table.locator("tr").count() for table in tables)
    assert roles.count("rowheader") == sum(table.locator("tbody th").count() for table in tables)


def test_every_table_has_a_caption_and_every_heading_of_one_a_scope(page):
    for table in page.locator("table").all():
        assert table.locator("caption").text_content().strip()
        assert table.locator("thead th[scope=col]").count() == table.locator("thead th").count() > 1
        assert (
            table.locator("tbody tr:not(.notes) > th[scope]").count()
            == table.locator("tbody tr:not(.notes)").count()
        )


def test_the_page_says_until_when_it_was_shared_and_that_it_is_invented(page):
    head = page.locator("header").inner_text()
    assert re.search(r"As shared until 20\d\d-\d\d-\d\d \d\d:\d\d UTC", head)
    assert "Two gardens (invented)" in head and "Hillside (invented)" in head
    assert "Invented: nothing here is real." in head


def test_a_season_of_three_trees_is_told_without_certainty(groups, connected):
    page = connected("Three trees (invented)", width=360, height=640)
    page.goto(f"{groups.server.url}/season/2026")
    table = page.locator(".season-table").inner_text()
    assert table.count("One tree says little about a method") == page.locator("tr.mix").count()
    assert "Back garden (invented): 3" in page.inner_text("main")

"""What a page may do: nothing from elsewhere, no script, names shown as text whatever stands in them."""

from __future__ import annotations

import pytest

from tests.browser.season import EMOJI_LABEL, OVERRIDE_LABEL, RIGHT_TO_LEFT_LABEL, SCRIPT_LABEL

POLICY = {
    "default-src 'self'", "object-src 'none'", "base-uri 'none'", "form-action 'self'", "frame-ancestors 'none'",
}  # fmt: skip


@pytest.mark.parametrize(
    "path", ["/season", "/season/2026", "/season/last", "/nothing", "/connect", "/connect?code=0000"]
)
def test_every_page_comes_with_its_headers(groups, connected, path):
    headers = connected().goto(groups.server.url + path).all_headers()
    assert {part.strip() for part in headers["content-security-policy"].split(";")} == POLICY
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["content-type"] == "text/html; charset=utf-8"


def test_no_request_leaves_the_server_and_the_console_stays_silent(groups, contexts, cookies):
    page = contexts(storage_state=cookies("Odd names (invented)")).new_page()
    asked, said = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    for path in ("/season", "/season/2026"):
        page.goto(groups.server.url + path)
        page.wait_for_load_state("networkidle")
    assert len(asked) >= 4 and [url for url in asked if not url.startswith(groups.server.url + "/")] == []
    assert said == []


def test_no_page_holds_a_script_or_an_inline_style(groups, connected):
    page = connected("Odd names (invented)")
    for path in ("/season", "/season/2026", "/connect", "/nothing"):
        page.goto(groups.server.url + path)
        assert page.locator("script, [style], style, iframe, object, embed").count() == 0
        handlers = (
            "all => all.filter(each => each.getAttributeNames().some(name => name.startsWith('on'))).length"
        )
        assert page.locator("*").evaluate_all(handlers) == 0


def test_a_page_looks_the_same_without_script(groups, contexts, cookies):
    pictures = []
    for script in (True, False):
        page = contexts(
            java_script_enabled=script, storage_state=cookies("Two gardens (invented)"), width=400
        ).new_page()
        page.goto(f"{groups.server.url}/season/2025-26")
        page.wait_for_load_state("networkidle")
        # The clock on the page may go on by a minute between the two.
        pictures.append(page.screenshot(full_page=True, mask=[page.locator("header .aside")]))
    assert pictures[0] == pictures[1]


@pytest.mark.parametrize("label", [SCRIPT_LABEL, EMOJI_LABEL, RIGHT_TO_LEFT_LABEL, OVERRIDE_LABEL])
def test_a_strange_label_is_shown_as_the_text_that_it_is(groups, connected, label):
    page = connected("Odd names (invented)", width=360)
    page.goto(f"{groups.server.url}/season/2026")
    assert page.title() == "Season 2026 · Pomeward"
    assert page.locator("bdi").evaluate_all(
        "(all, label) => all.some(each => each.textContent === label)", label
    )
    assert page.locator("main b, main i").count() == 0


def test_a_name_that_runs_from_right_to_left_turns_nothing_around_it(groups, connected):
    page = connected("Odd names (invented)", width=1280)
    page.goto(f"{groups.server.url}/season/2026")
    listed = page.locator("li", has_text="<b>Bold</b>").first
    order = listed.locator("bdi").evaluate_all(
        "all => all.map(each => each.getClientRects()[0]).map(box => [box.top, box.left])"
    )
    assert order == sorted(order), "labels stand in the order of the walk, from left to right"


def test_no_name_turns_a_warning_around(groups, connected):
    page = connected("Odd names (invented)", width=1280)
    page.goto(f"{groups.server.url}/season/2026")
    warning = page.locator("li.warning", has_text="Fewer than 20 fruit scored on")
    places = warning.evaluate(
        """li => { const text = li.firstChild, from = text.textContent.indexOf("Score about");
        return [0, 1, 2, 3, 4].map(at => { const range = document.createRange();
            range.setStart(text, from + at); range.setEnd(text, from + at + 1);
            return range.getBoundingClientRect().left; }); }"""
    )
    assert places == sorted(places) and len(set(places)) == 5

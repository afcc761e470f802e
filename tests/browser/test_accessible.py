"""What axe-core finds on every page: nothing that is serious, light and dark, with lists closed and open.

axe-core (MPL 2.0, Deque Systems) comes with the package axe-playwright-python; it is used by tests alone.
"""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.looking import open_all_lists
from tests.browser.test_looks import PAGES

SERIOUS = {"serious", "critical"}


def findings(page) -> list[str]:
    """Serious findings with the places that they are at."""
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    return [
        f"{one['id']}: {one['help']} – {', '.join(str(node['target']) for node in one['nodes'][:3])}"
        for one in found
        if one["impact"] in SERIOUS
    ]


@pytest.mark.parametrize(("scheme", "width"), [("light", 400), ("dark", 1280)])
def test_no_page_has_a_serious_finding(groups, connected, scheme, width):
    pages = {group: connected(group, color_scheme=scheme, width=width) for group, _ in PAGES}
    for group, path in PAGES:
        pages[group].goto(groups.server.url + path)
        open_all_lists(pages[group])
        assert (group, path, findings(pages[group])) == (group, path, [])


def test_a_page_that_is_at_fault_is_found_out(stranger):
    stranger.set_content(
        "<html><body><img src='x'><input><p style='color:#aaa;background:#fff'>pale</p></body></html>"
    )
    ids = {one.split(":")[0] for one in findings(stranger)}
    assert {"image-alt", "label", "color-contrast", "html-has-lang"} <= ids


def test_everything_is_read_with_script_switched_off(groups, connected):
    page = connected("Three years (invented)", java_script_enabled=False)
    for path, told in (
        ("/season/2026", "What can be said"),
        ("/years", "Together: difference"),
        ("/plan", "8 trees:"),
    ):
        page.goto(groups.server.url + path)
        assert told in page.content()


def test_the_choice_and_the_planning_work_with_script_switched_off(groups, connected):
    page = connected("Three years (invented)", java_script_enabled=False)
    page.goto(f"{groups.server.url}/season/2026")
    page.get_by_text("Look at a part of it").click()
    page.get_by_label("Cultivar").select_option("Dawnlet")
    page.get_by_label("What is damage").select_option("deep")
    page.get_by_role("button", name="Show").click()
    assert "One cultivar: Dawnlet." in page.content() and "deep entry. The tree is the unit" in page.content()
    page.goto(f"{groups.server.url}/plan")
    page.get_by_label("Trees on each side").fill("20")
    page.get_by_role("button", name="Reckon").click()
    assert "20 trees:" in page.content()

"""Connecting a browser: a one-time address, a form, a button; with and without script."""

from __future__ import annotations

import pytest

GROUP = "Two gardens (invented)"


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_one_time_address_a_name_and_a_button_connect_a_browser(groups, contexts, script):
    page = contexts(java_script_enabled=script).new_page()
    page.goto(groups.address(GROUP))
    assert page.get_by_text(
        f"This browser becomes a device of the group “{GROUP}”, as a keeper."
    ).is_visible()
    page.get_by_label("Your name or initials").fill("Ansa")
    page.get_by_role("button", name="Connect").click()
    page.wait_for_url("**/season")
    page.get_by_role("link", name="Season 2026", exact=True).click()
    assert page.get_by_role("heading", level=1).inner_text() == "Season 2026"


def test_the_form_can_be_filled_and_sent_with_the_keyboard_alone(groups, stranger):
    stranger.goto(f"{groups.server.url}/connect")
    stranger.keyboard.press("Tab")
    stranger.keyboard.type(groups.server.code(groups.by_name[GROUP]).lower())
    stranger.keyboard.press("Tab")
    stranger.keyboard.type("Ansa")
    stranger.keyboard.press("Enter")
    stranger.wait_for_url("**/season")


def test_a_code_connects_one_browser_only(groups, contexts):
    address = groups.address(GROUP)
    first, second = contexts().new_page(), contexts().new_page()
    for page in (first, second):
        page.goto(address)
    first.get_by_role("button", name="Connect").click()
    first.wait_for_url("**/season")
    second.get_by_role("button", name="Connect").click()
    assert "This code cannot be used" in second.get_by_role("alert").inner_text()
    second.goto(f"{groups.server.url}/season")
    assert second.get_by_role("heading", level=1).inner_text() == "This browser is not connected"


def test_a_browser_stays_connected_when_it_is_opened_again(groups, connected):
    page = connected()
    again = page.context.new_page()
    page.close()
    assert again.goto(f"{groups.server.url}/").status == 200
    assert again.get_by_role("heading", level=1).inner_text() == "Seasons"


@pytest.mark.parametrize("path", ["/", "/season", "/season/2026", "/season/2025-26"])
def test_without_a_connection_a_page_says_how_to_connect_and_leads_there(groups, stranger, path):
    assert stranger.goto(groups.server.url + path).status == 401
    assert "Ask your coordinator for a one-time code" in stranger.inner_text("main")
    stranger.get_by_role("link", name="I have a code").click()
    assert stranger.get_by_label("One-time code").is_editable()
    assert stranger.get_by_role("table").count() == 0


def test_a_disconnected_browser_reads_nothing_any_more(groups, stranger):
    group = groups.by_name[GROUP]
    stranger.goto(groups.address(GROUP))
    stranger.get_by_label("Your name or initials").fill("Gone")
    stranger.get_by_role("button", name="Connect").click()
    stranger.wait_for_url("**/season")
    connecting = groups.server.services.connecting
    (device,) = [one for one in connecting.devices(group) if one.person_name == "Gone"]
    connecting.revoke(group, device.id, "tests")
    assert stranger.goto(f"{groups.server.url}/season/2026").status == 401
    assert "Hillside" not in stranger.content()

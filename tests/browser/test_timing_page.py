"""The page of timing in a browser without script: what it tells, and another day that is chosen."""

from __future__ import annotations

from shared_models.language import together
from tests.browser.timed_season import DAY


def test_totals_bands_flight_and_doubts_are_read_with_script_switched_off(groups, connected):
    page = connected("Timed garden (invented)", java_script_enabled=False)
    page.goto(f"{groups.server.url}/timing/2014?day={DAY}")
    text = page.inner_text("main")
    for told in (
        "Biofix: 2014-05-06 to 2014-05-10.",
        "Incomplete: 33 days are missing (2014-01-01 to 2014-01-31, 2014-03-03 to 2014-03-04)",
        "was told twice by one source",
        "Counted from 2014-01-01, without traps",
        "Counted from biofix",
        "Early Red and Late Gold: not known",
        together("Night of 2014-04-20: -5.0 °C; apple at"),
    ):
        assert told in text, told


def test_another_day_is_chosen_without_script(groups, connected):
    page = connected("Timed garden (invented)", java_script_enabled=False)
    page.goto(f"{groups.server.url}/timing")
    page.get_by_role("link", name="Timing of the season 2014").click()
    page.get_by_label("As known on another day").fill("2014-04-24")
    page.get_by_role("button", name="Show").click()
    assert "As known on 2014-04-24" in page.inner_text("main")
    assert "Biofix: not met up to 2014-04-24." in page.inner_text("main")

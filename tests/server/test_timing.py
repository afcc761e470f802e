"""GET /timing and the page of timing: a group's own gardens, days and seasons that are none, no script."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from shared_models.language import together
from shared_models.timing.parts import SeasonTiming
from tests.builders import FieldPhone
from tests.server.test_pages import EVIL, Browser, is_a_safe_page

FIRST = date(2026, 4, 1)


@pytest.fixture
def browser(server) -> Browser:
    return Browser(server)


def warm_garden(caller, name: str = "Hill") -> str:
    """A garden with forty days of 10 to 24 °C."""
    phone = FieldPhone()
    garden = phone.garden(name)
    said = {"garden": garden.rec, "lowest": 10, "highest": 24, "unit": "C"}
    days = [
        phone.makes("day_temperature", {**said, "when": (FIRST + timedelta(n)).isoformat()})
        for n in range(40)
    ]
    caller.push([garden, *days])
    return garden.rec


def test_the_timing_of_a_day_is_answered(keeper):
    garden = warm_garden(keeper)
    answer = keeper.get("/timing/2026?day=2026-05-10")
    timing = SeasonTiming.model_validate_json(answer.text)
    (one,) = timing.gardens
    assert (one.garden, timing.day, one.until) == (garden, "2026-05-10", "2026-05-10")
    assert one.clocks[0].high == pytest.approx(40 * 7.0)
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize("path", ["/timing/last", "/timing/2026?day=soon", "/timing/2026?day=2026-02-30"])
def test_what_is_no_season_or_no_day_is_a_problem_with_a_sentence(keeper, path: str):
    answer = keeper.get(path)
    assert answer.status_code == 400 and answer.json()["detail"]


def test_another_group_sees_none_of_it(server, keeper):
    warm_garden(keeper)
    stranger = server.caller(server.group("Elsewhere"))
    assert stranger.get("/timing/2026?day=2026-05-10").json()["gardens"] == []


def test_without_a_token_nothing_is_answered(server):
    assert server.stranger().get("/timing/2026").status_code == 401


def test_the_page_tells_the_same_without_script(server, hill, keeper, browser):
    warm_garden(keeper, f"Hill {EVIL}"[:60])
    browser.send(server.code(hill))
    assert 'href="/timing/2026"' in browser.open("/timing").text
    answer = browser.open("/timing/2026?day=2026-05-10")
    assert answer.status_code == 200 and is_a_safe_page(answer)
    assert "&lt;script&gt;alert(1)" in answer.text
    assert together("280.0 °C-days (504.0 °F-days) from 2026-01-01 to 2026-05-10") in answer.text
    assert "Incomplete: 90 days are missing (2026-01-01 to 2026-03-31)" in answer.text
    early = browser.open("/timing/2026?day=2026-04-28").text
    assert together("Next: first moths (68 to 122 °C-days") not in early and "Next: first egg hatch" in early


def test_without_a_connection_the_page_says_how_to_connect(browser):
    for path in ("/timing", "/timing/2026"):
        assert browser.open(path).status_code == 401

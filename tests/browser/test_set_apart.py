"""What two people did without knowing of each other, on the season page: both values, who and when, and no way to decide."""

from __future__ import annotations

import pytest

from tests.browser.season import SCRIPT_LABEL


@pytest.fixture
def page(groups, connected):
    """The season of the group that did."""
    page = connected("Set apart (invented)")
    page.goto(f"{groups.server.url}/season/2026")
    return page


def test_each_is_shown_with_both_values_and_people(page):
    section = page.locator("#looks")
    heads = section.locator("> ul > li > strong").all_inner_texts()
    assert len(heads) == 5 and "Tree 3: species" in heads and "Trap T1 was counted twice" in heads
    assert "Walking order of 2 traps" in heads
    species = section.locator("> ul > li", has_text="Tree 3: species")
    first, second = species.locator("li").all_inner_texts()
    assert "pear" in first and "Bertram <i>of the mill</i>, 2026-08-20 10:00" in first
    assert "this holds now" in first and "apple" in second and "Ada" in second
    counted = section.locator("> ul > li", has_text="counted twice")
    assert "4 new moths" in counted.inner_text() and "5 new moths" in counted.inner_text()
    assert "The first counts until somebody decides." in counted.inner_text()


def test_names_that_could_do_harm_are_text(page):
    assert SCRIPT_LABEL in page.locator("#looks").inner_text() and page.title() != "taken"


def test_nothing_is_decided_at_the_desk(page):
    assert page.locator("#looks a, #looks button, #looks form").count() == 0


def test_a_group_with_nothing_to_decide_has_no_such_part(groups, connected):
    page = connected("Three trees (invented)")
    page.goto(f"{groups.server.url}/season/2026")
    assert page.locator("#looks").count() == 0

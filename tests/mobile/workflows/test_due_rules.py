"""Rules of due work as a group changes them: its own figure beside the published one, off, and as it was."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.due_rules import (
    RuleLine,
    day_of_year,
    restore_rule,
    rule_lines,
    set_due_rule,
    switch_off,
)
from shared_models.errors import BadInputError


def line(phone: PhoneStore, key: str) -> RuleLine:
    return next(one for one in rule_lines(phone) if one.key == key)


def test_an_own_figure_stands_beside_the_published_one_and_its_source(phone: PhoneStore) -> None:
    assert line(phone, "lure_age").in_words.startswith("42 days. Source: National Institute")
    set_due_rule(phone, "lure_age", 35)
    told = line(phone, "lure_age").in_words
    assert told.startswith("35 days, your group’s own. Published: 42 days. Source: National Institute")


def test_a_rule_holds_again_as_it_held_before(phone: PhoneStore) -> None:
    before = [line(phone, "lure_age")]
    set_due_rule(phone, "lure_age", 35)
    before.append(line(phone, "lure_age"))
    switch_off(phone, "lure_age")
    before.append(line(phone, "lure_age"))
    set_due_rule(phone, "lure_age", 30)
    for wanted in reversed(before):
        restore_rule(phone, wanted)
        assert line(phone, "lure_age") == wanted


def test_a_day_of_the_year_is_a_month_and_a_day_that_every_year_has() -> None:
    assert day_of_year(6, 1) == 601 and day_of_year(12, 31) == 1231


@pytest.mark.parametrize(("month", "day"), [(2, 29), (13, 1), (6, 31), (None, 1), (6, None)])
def test_a_day_that_is_none_is_refused(month: int | None, day: int | None) -> None:
    with pytest.raises(BadInputError, match="No year has that day"):
        day_of_year(month, day)

"""Rules of due work, with a finger: another figure for the group, none of it, the published one again, and undo."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.due_rules import RuleLine, rule_lines
from tests.window.invented import TYPE_SIZES, Invented, open_at, used
from tests.window.look import complaints

SMALL = (360, 640)
COUNTED = "Traps are counted weekly after biofix"
BANDS = "Trunk bands go on in June before larvae leave the fruit"


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone that was used."""
    return used(tmp_path / "data")


def rule(invented: Invented, key: str) -> RuleLine:
    """A rule as it holds on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = next(line for line in rule_lines(store) if line.key == key)
    store.close()
    return found


def test_a_figure_is_changed_shown_beside_the_published_one_and_put_back(phone, invented):
    app = open_at(phone, invented, "today", SMALL)
    phone.touch("Change the rules by which work falls due")
    assert app.frame.way.here.screen == "due_rules"
    phone.touch(COUNTED)
    phone.fill("Figure in days", "5")
    phone.touch("Keep for the group")
    assert rule(invented, "trap_check_after_biofix").value == 5
    assert phone.sees("5 days, your group’s own. Published: 7 days. Source: University of California")
    phone.touch(COUNTED)
    phone.touch("Back to 7 days")
    assert not rule(invented, "trap_check_after_biofix").own
    phone.touch("Undo")
    assert rule(invented, "trap_check_after_biofix").value == 5


def test_a_rule_is_switched_off_and_that_is_undone(phone, invented):
    open_at(phone, invented, "due_rules", SMALL)
    phone.touch(COUNTED)
    phone.touch("Ask for nothing by this rule")
    assert rule(invented, "trap_check_after_biofix").value is None and phone.sees("switched off, your group")
    phone.touch("Undo")
    assert rule(invented, "trap_check_after_biofix").value == 7


def test_a_day_of_the_year_is_a_day_and_a_month(phone, invented):
    open_at(phone, invented, "due_rules", SMALL)
    phone.touch(BANDS)
    phone.fill("Day", "31")
    phone.touch("Keep for the group")
    assert phone.sees("No year has that day")
    phone.fill("Day", "20")
    phone.fill("Month", "5")
    phone.touch("Keep for the group")
    assert rule(invented, "bands_on").value == 520 and phone.sees("day 20 of month 5")


def test_a_figure_that_is_none_changes_nothing(phone, invented):
    open_at(phone, invented, "due_rules", SMALL)
    phone.touch(COUNTED)
    phone.fill("Figure in days", "")
    phone.touch("Keep for the group")
    assert phone.sees("Type a figure.")
    phone.fill("Figure in days", "9999")
    phone.touch("Keep for the group")
    assert not rule(invented, "trap_check_after_biofix").own


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize("row", [COUNTED, BANDS])
def test_the_sheet_of_a_rule_can_be_read(phone, tmp_path, row, type_size):
    open_at(phone, used(tmp_path / "large", "dusk", type_size), "due_rules", SMALL)
    phone.touch(row)
    assert complaints() == []


def test_settings_lead_to_rules_and_timing_and_turn_notices_off(phone, invented):
    app = open_at(phone, invented, "settings", SMALL)
    phone.touch("What falls due, by which rules")
    assert app.frame.way.here.screen == "due_rules"
    phone.touch("Back")
    phone.touch("How timing is worked out: Hill")
    assert app.frame.way.here.screen == "timing_how"

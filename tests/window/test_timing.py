"""When, with a finger: reached from Today and the orchard, read to its sources, and worked out another way."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.timing import settings_now
from shared_models.calculations.biofix import Rule
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.language import together
from shared_models.timing.readings import OWN
from shared_models.timing.settings import TimingSettings
from shared_models.vocabulary import Fill
from tests.window.invented import LOWER, Invented, in_spring, open_at
from tests.window.look import complaints

SMALL = (360, 640)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone whose lower garden has a spring behind it, and whose other garden has no temperatures."""
    return in_spring(tmp_path / "data")


def chosen(invented: Invented) -> TimingSettings:
    """How the lower garden is worked out, as it is on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = settings_now(store, invented.garden)
    store.close()
    return found


def test_today_leads_to_what_comes_next_and_that_to_its_source(phone, invented):
    app = open_at(phone, invented, "today", SMALL)
    phone.touch(together(f"{LOWER}: first egg hatch (139 °C-days, 250 °F-days): about now"))
    assert app.frame.way.here.screen == "timing" and app.frame.way.here.about == {"garden": invented.garden}
    assert phone.sees("Biofix: 2026-05-15 to 2026-05-18.") and phone.sees("Rule: a day set by hand.")
    assert phone.sees(together("single-sine, horizontal cutoff, thresholds 10 and 31.1 °C"))
    assert phone.sees("Incomplete: 3 days are missing (2026-04-11 to 2026-04-12, 2026-05-20)")
    assert phone.sees(together("Night of 2026-04-29: -3.4 °C")) and phone.sees(
        "Early Red and Late Green: 13 days"
    )
    phone.touch(together("first egg hatch (139 °C-days, 250 °F-days): about now"))
    assert phone.sees("Published: Knight 2007")
    phone.touch("Close")
    assert not phone.sees("Published: Knight 2007")


def test_what_is_only_remembered_is_apart_and_called_unchecked(phone, invented):
    open_at(phone, invented, "timing", SMALL)
    assert not phone.sees("second flight begins")
    phone.touch("events quoted from memory, unchecked")
    assert phone.sees("second flight begins (unchecked, ") and phone.sees("Unchecked, quoted from memory: ")
    phone.touch("events quoted from memory, unchecked")
    assert not phone.sees("second flight begins")


def test_the_orchard_leads_there_and_a_garden_without_temperatures_to_typing_them(phone, invented):
    app = open_at(phone, invented, "orchard", SMALL)
    phone.touch(LOWER)
    assert app.frame.way.here.screen == "timing"
    phone.touch("Back")
    phone.touch("Traps")
    phone.touch("Hill")
    assert app.frame.way.here.screen == "timing" and phone.sees("No temperatures of this season yet")
    phone.touch("Lowest and highest")
    assert app.frame.way.here.screen == "temperature"
    phone.fill("Lowest", "9")
    phone.fill("Highest", "21")
    phone.touch("Keep this day")
    phone.touch("Back")
    assert phone.sees("Temperatures from own thermometer")


def test_how_it_is_worked_out_is_one_touch_away_and_names_every_missing_day(phone, invented):
    app = open_at(phone, invented, "timing", SMALL)
    phone.touch("How this is worked out")
    assert app.frame.way.here.screen == "timing_how"
    assert phone.sees("Chosen for this garden.") and phone.sees("As usual; nobody chose.")
    assert phone.sees("2026-04-11 to 2026-04-12, 2026-05-20")


def test_another_rule_is_chosen_with_its_source_and_taken_back(phone, invented):
    open_at(phone, invented, "timing_how", SMALL)
    phone.touch("When the flight begins")
    assert phone.sees("Foster, Purdue") and complaints() == []
    phone.touch("Enough moths a trap on average")
    phone.fill("How many moths are enough, where they are counted?", "4")
    phone.touch("Keep for this garden")
    assert (chosen(invented).rule, chosen(invented).moths) == (Rule.MEAN, 4)
    assert phone.sees("enough moths a trap on average (4 moths)")
    phone.touch("Undo")
    assert chosen(invented).rule is Rule.BY_HAND and phone.sees("Rule: a day set by hand.")


def test_a_day_by_hand_is_asked_for_on_a_sheet_of_its_own(phone, invented):
    open_at(phone, invented, "timing_how", SMALL)
    phone.touch("When the flight begins")
    phone.touch("Keep for every garden")
    assert phone.sees(f"On which day did the flight begin in {LOWER}?")
    phone.touch("A week earlier")
    phone.touch("This day")
    assert chosen(invented).biofix == "2026-05-28"


def test_method_and_thresholds_are_chosen_for_every_garden_in_either_unit(phone, invented):
    open_at(phone, invented, "timing_how", SMALL)
    phone.touch("How warmth is counted")
    phone.touch("Double triangle")
    phone.touch("Vertical")
    phone.touch("Keep for every garden")
    phone.touch("Between which temperatures")
    phone.touch("°F")
    assert {"50", "88"} <= set(phone.texts())
    phone.fill("Upper threshold", "none")
    phone.touch("Keep for every garden")
    assert phone.sees("“none” is no number")
    phone.fill("Upper threshold", "88")
    phone.touch("Keep for every garden")
    found = chosen(invented).reckoning
    assert (found.method, found.cutoff) == (Method.DOUBLE_TRIANGLE, Cutoff.VERTICAL)
    assert (found.lower, found.upper) == (10.0, 31.11)
    assert phone.sees("Chosen for every garden of the group.")
    phone.touch("Back")
    phone.app.frame.go("timing", garden=invented.garden)
    phone.settle()
    assert phone.sees(together("double-triangle, vertical cutoff, thresholds 10 and 31.11 °C"))


def test_which_thermometer_goes_first_is_chosen_for_every_garden_and_taken_back(phone, invented):
    open_at(phone, invented, "timing_how", SMALL)
    phone.touch("Which thermometer goes first")
    phone.touch("Keep for every garden")
    assert chosen(invented).sources.first == OWN and phone.sees("Chosen for every garden of the group.")
    phone.touch("Undo")
    assert chosen(invented).sources.first is None


def test_missing_days_are_filled_on_request_and_stay_marked(phone, invented):
    open_at(phone, invented, "timing_how", SMALL)
    phone.touch("What fills a missing day")
    phone.touch("Short gaps between the days beside them")
    phone.touch("Keep for this garden")
    assert chosen(invented).sources.fill is Fill.INTERPOLATE
    assert phone.sees("Filled, not measured:") and phone.sees("2026-04-11 to 2026-04-12, 2026-05-20")


@pytest.mark.parametrize(
    "row",
    [
        "When the flight begins",
        "How warmth",
        "Between which temperatures",
        "Which thermometer goes first",
        "What fills",
    ],
)
def test_every_sheet_can_be_read_at_the_largest_type(phone, tmp_path, row):
    large = in_spring(tmp_path / "large", "dusk", 1.5)
    open_at(phone, large, "timing_how", SMALL)
    phone.touch(row)
    assert complaints() == []

"""At the traps, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import Told
from mobile.workflows.trap_round import TrapRound
from shared_models.language import together
from shared_models.records.traps import TrapVisit
from shared_models.vocabulary import CountMode, TrapState
from tests.window.invented import Invented, open_at, shown_screen, used
from tests.window.look import complaints
from tests.window.phone import Finger


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with four traps."""
    return used(tmp_path / "data")


def visits(invented: Invented, trap: int) -> list[TrapVisit]:
    """The visits to a trap as they are on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = [visit for visit in store.all(TrapVisit) if visit.trap == invented.traps[trap]]
    store.close()
    return found


def test_four_moths_are_counted_in_six_touches_from_today(phone, invented):
    open_at(phone, invented, "today", (360, 640))
    touches = ["Trap 1: not counted yet.", "+1 moth", "+1 moth", "+1 moth", "+1 moth", "Done, next trap"]
    for text in touches:
        phone.touch(text)
    (visit,) = visits(invented, 0)
    assert (visit.moths, visit.state, visit.ended is not None) == (4, TrapState.COUNTED, True)


def test_done_goes_on_to_the_next_trap_in_walking_order(phone, invented):
    app = open_at(phone, invented, "traps", (360, 640))
    phone.touch("Trap 1")
    phone.touch("None")
    phone.touch("Done, next trap")
    assert app.frame.way.here.about == {"trap": invented.traps[1]}
    phone.touch("Back")
    assert app.frame.way.here.screen == "traps"


def test_the_number_on_the_pad_is_what_is_on_disk_at_any_moment(phone, invented):
    open_at(phone, invented, "trap", (412, 892))
    for number in (1, 2, 3):
        phone.touch("+1 moth")
        assert shown_screen(phone.app)._pad.number == str(number)
        assert visits(invented, 1)[-1].moths == number


def test_touches_that_come_faster_than_the_disk_are_all_counted(phone, invented):
    app = open_at(phone, invented, "trap", (412, 892))
    pad = shown_screen(app)._pad
    for _ in range(12):
        finger = Finger(*pad.to_window(*pad.center))
        finger.down()
        phone.frames(1, 0.05)
        finger.up()
        phone.frames(1, 0.07)
    phone.settle()
    assert pad.number == "12" and visits(invented, 1)[-1].moths == 12


def test_nothing_said_is_told_and_records_nothing(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("Done, next trap")
    assert phone.sees("Nothing is recorded for this trap yet")
    assert len(visits(invented, 1)) == 3


@pytest.mark.parametrize(
    ("words", "state"),
    [
        ("Not visited", TrapState.NOT_VISITED),
        ("The trap is lost", TrapState.LOST),
        ("Flooded", TrapState.FLOODED),
        ("Can't be read", TrapState.UNREADABLE),
    ],
)
def test_why_there_is_no_count_is_two_touches_away(phone, invented, words, state):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("Not counted")
    phone.touch(words)
    visit = visits(invented, 1)[-1]
    assert (visit.state, visit.moths) == (state, None)
    assert shown_screen(phone.app)._pad.number == ""


def test_a_touch_is_undone_by_one_touch_and_only_once(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("+1 moth")
    phone.touch("+1 moth")
    phone.touch("Undo")
    assert visits(invented, 1)[-1].moths == 1 and phone.sees("Taken back: Trap 2: 2 moths.")
    assert not phone.sees("Undo")


def test_a_visit_ended_too_soon_is_opened_again_by_undo(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("+1 moth")
    phone.touch("Done, next trap")
    phone.touch("Undo")
    assert phone.app.frame.way.here.about["trap"] == invented.traps[1]
    assert shown_screen(phone.app)._pad.number == "1"
    assert visits(invented, 1)[-1].ended is None


def test_all_on_the_liner_takes_off_what_was_there_and_shows_the_sum(phone, invented):
    open_at(phone, invented, "trap", (412, 892))
    phone.touch("All on the liner now")
    phone.touch("Type a number")
    phone.fill("How many moths?", "35")
    phone.touch("Keep this number")
    visit = visits(invented, 1)[-1]
    assert (visit.moths, visit.mode) == (35, CountMode.ON_LINER)
    assert phone.sees("35 on the liner, 33 before: 2 new.")


def test_the_last_answer_is_offered_first_and_switches_are_off(phone, invented):
    open_at(phone, invented, "trap", (412, 892))
    phone.touch("New liner")
    phone.touch("Moths taken off")
    phone.touch("New lure")
    visit = visits(invented, 1)[-1]
    assert (visit.liner_changed, visit.emptied, visit.lure_type is not None) == (True, True, True)
    assert visit.moths is None


def test_a_second_visit_of_the_day_asks_what_is_new_since_the_first(phone, invented):
    open_at(phone, invented, "trap", (412, 892))
    phone.touch("+1 moth")
    phone.touch("Done, next trap")
    phone.touch("Back")
    invented.clock.move(hours=2)
    phone.touch("Trap 2")
    assert phone.sees("Are all of these new since 09:10?") and phone.sees("Ida at 09:10: 1 new")


def test_thirty_moths_ask_for_a_new_liner(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    assert phone.sees("33 moths since the last new liner: change it")


def test_an_empty_list_leads_to_hanging_a_trap(phone, tmp_path):
    store_only = used(tmp_path / "other")
    store = PhoneStore(store_only.settings.file, store_only.clock)
    for trap in store_only.traps:
        store.record("trap", {"retired": True}, trap)
    store.close()
    open_at(phone, store_only, "traps", (360, 640))
    assert phone.sees("No trap hangs yet")
    phone.touch("Hang a trap")
    phone.fill("What is written on it?", "7")
    phone.touch("Hang it today")
    assert phone.app.frame.way.here.screen == "traps" and phone.sees("Trap 7")


def test_which_lure_and_how_many_males_are_said_after_the_count(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    assert not phone.sees("Males and females")
    for _ in range(3):
        phone.touch("+1 moth")
    phone.touch("New lure")
    phone.touch("Lure: lure")
    phone.fill("Which lure? As its wrapping says", "red septum")
    phone.fill("Load in mg, if it is given", "1,5")
    assert complaints() == []
    phone.touch("Keep this lure")
    phone.touch("Males and females: not told apart")
    phone.fill("Males", "2")
    phone.fill("Females", "1")
    phone.touch("Keep these numbers")
    visit = visits(invented, 1)[-1]
    assert (visit.lure_type, visit.lure_load_mg, visit.males, visit.females) == ("red septum", 1.5, 2, 1)
    assert phone.sees(together("Lure: red septum, 1.5 mg")) and phone.sees("Males 2, females 1")
    phone.touch("Undo")
    assert visits(invented, 1)[-1].males is None


def test_a_count_entered_between_two_others_is_decided_by_one_touch_and_undone(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    hand = TrapRound(store).open(invented.traps[1], Told("2026-05-30"))
    hand.number(4)
    visit, later = hand.view.visit, next(one for one in store.all(TrapVisit) if one.when == "2026-05-31")
    store.close()
    app = open_at(phone, invented, "traps", (360, 640))
    app.frame.go("trap", trap=invented.traps[1], visit=visit)
    phone.settle()
    phone.touch("Yes, it counted only what came after this visit")
    assert previous_of(invented, later.rec) == visit and not phone.sees("goes back to the same visit")
    phone.touch("Undo")
    assert previous_of(invented, later.rec) == later.previous


def previous_of(invented: Invented, visit: str) -> str | None:
    """The visit that a visit names as the one before it."""
    return next(one.previous for one in visits(invented, 1) if one.rec == visit)

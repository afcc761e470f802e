"""*When?* with a finger, at a trap: every answer, what is kept of it, and a visit that was begun before it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from mobile.screens.when import told_of
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import correct
from shared_models.records.gardens import Garden
from shared_models.records.traps import TrapVisit
from tests.mobile.phones import SUMMER
from tests.window.invented import TYPE_SIZES, Invented, open_at, used
from tests.window.look import complaints


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with four traps, on Thursday 4 June at 09:10."""
    return used(tmp_path / "data")


def counted_at(invented: Invented) -> TrapVisit:
    """The newest visit to the second trap as it is on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = [visit for visit in store.all(TrapVisit) if visit.trap == invented.traps[1]]
    store.close()
    return max(found, key=lambda visit: visit.rec)


def test_a_day_is_two_touches_and_the_count_stands_on_it(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("A day")
    assert phone.sees("Wednesday 3 June 2026")
    phone.touch("This day")
    assert phone.sees("When? Wednesday 3 June") and told_of(app.frame.way.here).when == "2026-06-03"
    phone.touch("+1 moth")
    assert (counted_at(invented).when, counted_at(invented).moths) == ("2026-06-03", 1)


def test_a_day_can_be_stepped_to_or_typed_and_never_lies_ahead(phone, invented):
    app = open_at(phone, invented, "trap", (412, 892))
    phone.touch("When? now")
    phone.touch("A day")
    for words in ("A week later", "A week earlier", "A day earlier"):
        phone.touch(words)
    assert phone.sees("Wednesday 27 May 2026")
    phone.fill("Or typed, such as 2026-05-17", "2026-5-9")
    assert phone.sees("Saturday 9 May 2026")
    phone.fill("Or typed, such as 2026-05-17", "9 May")
    phone.touch("This day")
    assert phone.sees("“9 May” is no day; write year, month and day such as 2026-05-17.")
    phone.fill("Or typed, such as 2026-05-17", "2026-06-05")
    phone.touch("This day")
    assert phone.sees("2026-06-05 is still to come") and told_of(app.frame.way.here).when is None


def test_a_time_of_today_is_stepped_to(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("Earlier today")
    phone.touch("It was at 08:10")
    assert told_of(app.frame.way.here).when == "2026-06-04T08:10:00+02:00"
    assert phone.sees("When? Thursday 4 June, 08:10")


def test_between_two_days_asks_for_both(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("Between two days")
    phone.touch("This day")
    phone.touch("A day earlier")
    phone.touch("This day")
    assert told_of(app.frame.way.here).when == "2026-05-28/2026-06-03"


def test_a_day_not_known_asks_for_the_season(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("Don't know")
    phone.touch("2026")
    assert phone.sees("When? day not known, season 2026")
    phone.touch("None")
    assert (counted_at(invented).when, counted_at(invented).season) == ("unknown", "2026")
    assert told_of(app.frame.way.here).season == "2026"


def test_days_on_both_sides_of_new_year_ask_for_the_season(phone, invented):
    invented.clock.time = datetime(2027, 1, 3, 9, 0, tzinfo=SUMMER)
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("Between two days")
    phone.touch("This day")
    phone.touch("This day")
    assert phone.sees("Which season was it?") and phone.sees("2026") and phone.sees("2027")


def test_a_visit_that_was_begun_is_moved_and_that_can_be_undone(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("+1 moth")
    phone.touch("+1 moth")
    phone.touch("When? now")
    phone.touch("A day")
    phone.touch("This day")
    assert (counted_at(invented).when, counted_at(invented).moths) == ("2026-06-03", 2)
    phone.touch("+1 moth")
    assert (counted_at(invented).when, counted_at(invented).moths) == ("2026-06-03", 3)
    phone.touch("Undo")
    assert (counted_at(invented).when, counted_at(invented).moths) == ("2026-06-03", 2)


def test_moving_a_visit_is_taken_back_by_undo(phone, invented):
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("+1 moth")
    phone.touch("When? now")
    phone.touch("A day")
    phone.touch("This day")
    phone.touch("Undo")
    assert counted_at(invented).when == "2026-06-04T09:10:00+02:00"
    assert phone.sees("When? Thursday 4 June, 09:10")


def test_the_answer_goes_on_to_the_next_trap_and_survives_a_restart(phone, invented):
    app = open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("A day")
    phone.touch("This day")
    phone.touch("+1 moth")
    phone.touch("Done, next trap")
    assert phone.sees("Trap 3") and phone.sees("When? Wednesday 3 June")
    assert counted_at(invented).ended == "2026-06-03"
    phone.touch("+1 moth")
    phone.settle()
    phone.close()
    app = invented.app()
    phone.open(app)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert phone.sees("When? Wednesday 3 June")
    phone.touch("+1 moth")
    store = PhoneStore(invented.settings.file, invented.clock)
    third = [visit for visit in store.all(TrapVisit) if visit.trap == invented.traps[2] and visit.moths]
    store.close()
    assert [(visit.when, visit.moths) for visit in third] == [("2026-06-03", 2)]


def test_in_the_south_the_seasons_are_those_of_the_south(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    for garden in store.all(Garden):
        correct(store, garden.rec, "invented", hemisphere="south")
    store.close()
    open_at(phone, invented, "trap", (360, 640))
    phone.touch("When? now")
    phone.touch("Don't know")
    assert phone.sees("2025/26") and phone.sees("2024/25")


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize("path", [(), ("Earlier today",), ("A day",), ("Between two days",), ("Don't know",)])
@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "on its side"])
def test_every_page_of_the_sheet_can_be_read_and_touched(phone, tmp_path, type_size, path, size):
    open_at(phone, used(tmp_path / "data", "dusk", type_size), "trap", size)
    phone.touch("When? now")
    for words in path:
        phone.touch(words)
    phone.frames(4)
    assert complaints() == []

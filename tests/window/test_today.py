"""Today, with a finger: flight told and muted, work with its reason, and a place to go to for each kind of it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.screens.places import SCREENS
from mobile.screens.today import DONE_AT, SIGN_OF
from mobile.storage.phone_store import PhoneStore
from mobile.widgets.buttons import Row
from mobile.widgets.signs import SIGNS
from mobile.workflows.flight_notices import is_muted
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.traps import take_trap_down
from shared_models.records.tallies import Pick, Visit
from shared_models.timing.due_work import DueKind
from tests.mobile.phones import SUMMER
from tests.mobile.spring import flight
from tests.window.invented import TYPE_SIZES, Invented, in_spring, open_at
from tests.window.look import complaints
from tests.window.phone import shown

SMALL = (360, 640)
FLIGHT = "Hill: flight in the traps, 2026-05-29 to 2026-06-02. Rule: enough moths in all traps together"


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with a flight in the trap of the other garden."""
    return caught(in_spring(tmp_path / "data"))


def caught(found: Invented) -> Invented:
    """With five moths in the trap at the gate."""
    store = PhoneStore(found.settings.file, found.clock)
    flight(store, found.traps[3])
    store.close()
    return found


def muted(invented: Invented) -> bool:
    """Whether this phone's person wants no notices, as it is on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = is_muted(store)
    store.close()
    return found


def test_flight_stands_at_the_top_says_where_when_and_by_which_rule_and_leads_there(phone, invented):
    app = open_at(phone, invented, "today", SMALL)
    texts = phone.texts()
    place = next(n for n, text in enumerate(texts) if text.startswith(FLIGHT))
    assert place < texts.index("To do, in walking order")
    phone.touch("When, in this garden")
    assert app.frame.way.here.screen == "timing" and phone.sees("Made by trap at the gate on 2026-05-29: 1")


def test_flight_is_muted_for_one_person_undone_and_brought_back_in_settings(phone, invented):
    app = open_at(phone, invented, "today", SMALL)
    phone.touch("No such notices for me")
    assert not phone.sees("flight in the traps") and muted(invented)
    phone.touch("Undo")
    assert phone.sees(FLIGHT) and not muted(invented)
    phone.touch("No such notices for me")
    app.frame.go("settings")
    phone.settle()
    phone.touch("Tell me of flight in the traps")
    assert not muted(invented)
    app.frame.go("today")
    phone.settle()
    assert phone.sees(FLIGHT)


def test_a_notice_that_was_read_is_put_away_and_put_back(phone, invented):
    open_at(phone, invented, "today", SMALL)
    phone.touch("I have read it")
    assert not phone.sees("flight in the traps")
    phone.touch("Undo")
    assert phone.sees(FLIGHT)


def test_each_line_says_why_once_and_by_whose_figure(phone, invented):
    open_at(phone, invented, "today", SMALL)
    assert phone.sees(
        "Rule: traps are counted weekly after biofix (7 days). Source: University of California"
    )
    rows = [row for row in shown(Window) if isinstance(row, Row) and row.text.startswith("Trap ")]
    reasons = [row.second for row in rows if row.second]
    assert len(rows) > len(reasons) and len(reasons) == len(set(reasons))


def test_every_kind_of_work_has_a_sign_and_a_screen():
    assert set(DONE_AT) == set(SIGN_OF) == set(DueKind)
    assert all(screen in SCREENS for screen in DONE_AT.values())
    assert all(sign in SIGNS for sign in SIGN_OF.values())


@pytest.mark.parametrize(
    ("day", "words", "screen"),
    [
        ((5, 20), "hang the traps, moths may fly from", "hang_trap"),
        ((5, 24), "bag fruit, it is big enough", "bags"),
        ((6, 4), "put the trunk bands on", "job"),
        ((6, 20), "look at the bags, last 18 days ago", "bags"),
        ((7, 2), "no drops round since June drop yet", "drops"),
    ],
)
def test_each_kind_of_work_leads_to_where_it_is_done(phone, invented, day, words, screen):
    store = PhoneStore(invented.settings.file, invented.clock)
    record_job(store, "trunk_band", trees=invented.trees[:2], told=Told("2025-06-10"))
    for trap in invented.traps[:3]:
        take_trap_down(store, trap)
    undone: list[Visit | Pick] = [*store.all(Pick)]
    if day < (6, 1):
        undone += store.all(Visit)
    for one in undone:  # nothing was picked or bagged yet
        store.undo(one.rec)
    store.close()
    invented.clock.time = datetime(2026, day[0], day[1], 9, tzinfo=SUMMER)
    app = open_at(phone, invented, "today", SMALL)
    phone.touch(words)
    assert app.frame.way.here.screen == screen


@pytest.mark.parametrize("type_size", TYPE_SIZES)
def test_a_notice_can_be_read_at_any_type_size(phone, tmp_path, type_size):
    open_at(phone, caught(in_spring(tmp_path / "other", "dusk", type_size)), "today", SMALL)
    assert phone.sees(FLIGHT) and complaints() == []

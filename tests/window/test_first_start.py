"""From an empty phone to the first trap visit, with touches and few letters."""

from __future__ import annotations

from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.traps import traps_in_walking_order
from mobile.workflows.tree_list import TreeList
from shared_models.records.gardens import Person
from shared_models.records.traps import TrapVisit
from shared_models.seasons import Hemisphere
from tests.window.invented import fresh, open_at


def test_a_phone_is_set_up_and_the_first_trap_counted(phone, tmp_path: Path):
    empty = fresh(tmp_path / "data")
    open_at(phone, empty, "begin", (360, 640))
    phone.fill("Your name or initials", "Ida")
    phone.fill("Time zone of your gardens", "Europe/Rome")
    phone.touch("Begin")
    phone.touch("Name a garden.")
    phone.fill("What is it called?", "Hill")
    phone.touch("South of the equator")
    phone.touch("Keep this garden")
    phone.touch("Add trees")
    phone.touch("Keep these trees")
    phone.touch("Hang a trap.")
    phone.touch("Hang it today")
    phone.touch("Go to Today")
    phone.touch("Trap 1: not counted yet.")
    phone.touch("None")
    phone.touch("Done, next trap")
    assert phone.sees("Trap 1: none. Done.")
    phone.close()
    store = PhoneStore(empty.settings.file, empty.clock)
    assert store.identity and store.identity.zone == "Europe/Rome"
    assert [person.name for person in store.all(Person)] == ["Ida"]
    assert [(garden.name, garden.hemisphere) for garden in gardens(store)] == [("Hill", Hemisphere.SOUTH)]
    assert [line.label for line in TreeList(store).standing()] == [str(number) for number in range(1, 13)]
    assert [line.label for line in traps_in_walking_order(store)] == ["1"]
    assert [(visit.moths, visit.ended is not None) for visit in store.all(TrapVisit)] == [(0, True)]
    store.close()


def test_what_is_missing_is_said_below_the_field(phone, tmp_path: Path):
    open_at(phone, fresh(tmp_path / "data"), "begin", (360, 640))
    phone.touch("Begin")
    assert phone.sees("A name or initials are needed")


def test_a_zone_that_is_none_is_told_and_nothing_is_lost(phone, tmp_path: Path):
    open_at(phone, fresh(tmp_path / "data"), "begin", (360, 640))
    phone.fill("Your name or initials", "Ida")
    phone.fill("Time zone of your gardens", "Middle/Earth")
    phone.touch("Begin")
    assert phone.sees("is no time zone")
    phone.touch("Close")
    assert phone.sees("Ida") and phone.sees("Middle/Earth")


def test_every_step_can_be_left_out_and_comes_up_again_on_today(phone, tmp_path: Path):
    open_at(phone, fresh(tmp_path / "data"), "begin", (360, 640))
    phone.fill("Your name or initials", "Ida")
    phone.touch("Begin")
    phone.touch("Go to Today")
    assert phone.sees("To begin with")
    phone.touch("Hang a trap.")  # which needs a garden first
    assert phone.sees("What is it called?")


def test_a_garden_that_was_kept_is_taken_back_by_one_touch(phone, tmp_path: Path):
    empty = fresh(tmp_path / "data")
    open_at(phone, empty, "begin", (412, 892))
    phone.fill("Your name or initials", "Ida")
    phone.touch("Begin")
    phone.touch("Name a garden.")
    phone.fill("What is it called?", "Hill")
    phone.touch("North of the equator")
    phone.touch("Keep this garden")
    phone.touch("Undo")
    assert phone.sees("Taken back: Garden “Hill” is kept.")
    phone.close()
    store = PhoneStore(empty.settings.file)
    assert gardens(store) == []
    store.close()

"""Weighing at picking, and what stands in the fields afterwards, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from shared_models.language import together
from shared_models.vocabulary import AllScored
from tests.window.invented import used
from tests.window.look import complaints
from tests.window.test_picking import at_tree, invented, picks, undo, visits

__all__ = ["invented"]
CRATE, PER_KG = "How many kg, without the crate?", "Fruit in a kilogram, if counted"


def weigh(phone, kg: str, per_kg: str = "") -> None:
    """One more crate."""
    phone.touch("Weigh")
    phone.fill(CRATE, kg)
    if per_kg:
        phone.fill(PER_KG, per_kg)
    phone.touch("Add this weight")


def test_crates_add_up_on_disk_and_the_last_is_undone(phone, invented):
    at_tree(phone, invented)
    weigh(phone, "12,5")
    weigh(phone, "7.5", "8")
    (pick,) = picks(invented)
    assert (pick.weight_kg, pick.fruit_per_kg) == (20, 8) and phone.sees(together("20 kg so far"))
    undo(phone)
    (pick,) = picks(invented)
    assert (pick.weight_kg, pick.fruit_per_kg) == (12.5, None) and phone.sees(together("12.5 kg so far"))


def test_the_first_crate_is_undone_with_the_visit_it_began(phone, invented):
    at_tree(phone, invented)
    weigh(phone, "12.5")
    undo(phone)
    assert picks(invented) == [] and visits(invented) == []


def test_no_weight_is_told_below_the_field(phone, invented):
    at_tree(phone, invented)
    phone.touch("Weigh")
    phone.touch("Add this weight")
    assert phone.sees("Say how many kilograms the scales show") and picks(invented) == []


def test_what_was_weighed_stands_in_the_fields_when_the_tree_is_done(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    weigh(phone, "12.5")
    phone.touch("Done, next tree")
    phone.fill("Fruit in a kilogram", "7")
    phone.touch("Some were not")
    phone.touch("Next tree")
    (pick,) = picks(invented)
    assert (pick.weight_kg, pick.fruit_per_kg, pick.all_scored) == (12.5, 7, AllScored.NO)


def test_a_weight_without_fruit_per_kilogram_holds_nobody_up(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    weigh(phone, "12.5")
    phone.touch("Done, next tree")
    phone.touch("Some were not")
    phone.touch("Next tree")
    (pick,) = picks(invented)
    assert (pick.weight_kg, pick.all_scored) == (12.5, AllScored.NO)
    assert phone.app.frame.way.here.screen == "pick_tree"


def test_what_is_recorded_cannot_be_emptied_unseen(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    weigh(phone, "12.5")
    phone.touch("Done, next tree")
    phone.fill("Or picked in all, kg", "")
    phone.touch("Next tree")
    assert phone.sees("This is recorded already") and phone.app.frame.way.here.screen == "picked"


@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "lying"])
def test_the_sheet_can_be_read_and_touched(phone, tmp_path: Path, size):
    at_tree(phone, used(tmp_path / "big", type_size=1.5), size=size)
    weigh(phone, "12.5")
    phone.touch("Weigh")
    assert phone.sees(together("12.5 kg so far")) and complaints() == []

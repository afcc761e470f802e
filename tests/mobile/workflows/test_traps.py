"""Traps as things that hang, move and come down."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.traps import (
    hang_trap,
    move_trap,
    put_traps_in_order,
    rename_trap,
    take_trap_down,
    traps_in_walking_order,
)
from shared_models.errors import BadInputError
from shared_models.records.traps import Placement


def walk(phone: PhoneStore) -> list[str]:
    """Labels of the traps in walking order."""
    return [line.label for line in traps_in_walking_order(phone)]


def test_traps_are_walked_to_in_the_order_they_were_hung_until_that_is_changed(
    phone: PhoneStore, garden: str
) -> None:
    two, one = hang_trap(phone, "2", garden).trap, hang_trap(phone, "1", garden).trap
    assert walk(phone) == ["2", "1"]
    put_traps_in_order(phone, [one, two])
    assert walk(phone) == ["1", "2"]


def test_a_moved_trap_keeps_where_it_hung_before(phone: PhoneStore, garden: str, trap: str) -> None:
    moved = move_trap(phone, trap, place="by the hedge", height_m=2.5, on=date(2026, 7, 1))
    first, second = sorted(phone.all(Placement), key=lambda one: one.from_day)
    assert (first.from_day, first.to_day) == ("2026-05-01", "2026-07-01")
    assert (second.rec, second.from_day, second.to_day) == (moved.placement, "2026-07-01", None)
    assert (second.place, second.height_m, second.garden) == ("by the hedge", 2.5, garden)


def test_a_trap_taken_down_before_it_was_hung_is_kept_and_doubted(phone: PhoneStore, trap: str) -> None:
    doubts = take_trap_down(phone, trap, date(2026, 4, 1))
    assert [doubt.field for doubt in doubts] == ["to_day"]
    assert walk(phone) == []


def test_a_label_on_two_traps_is_said_and_kept(phone: PhoneStore, garden: str, trap: str) -> None:
    second = hang_trap(phone, "2", garden)
    assert second.notes == ()
    assert "labelled 1 too" in rename_trap(phone, second.trap, "1")[0]
    assert walk(phone) == ["1", "1"]


def test_a_trap_without_a_label_is_refused_and_nothing_hangs(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError) as refused:
        hang_trap(phone, " ", garden)
    assert refused.value.field == "label"
    assert walk(phone) == [] and phone.all(Placement) == []

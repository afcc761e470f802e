"""Trees and traps as they are looked up and kept."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.orchard import orchard_traps, orchard_trees, trap_page, tree_page
from mobile.workflows.traps import (
    hang_again,
    hang_trap,
    move_trap,
    take_back_move,
    take_trap_down,
    trap_known,
)
from mobile.workflows.tree_choice import trees_in_typed_order
from mobile.workflows.trees import (
    add_graft,
    add_row,
    rename_graft,
    rename_tree,
    retire_graft,
    retire_tree,
    say_same,
)
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.traps import Placement
from shared_models.seasons import Hemisphere


def texts(phone: PhoneStore, search: str = "") -> list[str]:
    """The first lines of the list."""
    return [row.text for row in orchard_trees(phone, search)]


def test_gardens_head_their_trees_and_those_that_are_gone_come_last(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    assert texts(phone)[:2] == ["Lower garden", "Tree 1"]
    upper = name_garden(phone, "Hill", Hemisphere.NORTH).garden
    add_row(phone, upper, 1, prefix="A")
    retire_tree(phone, row[0], date(2026, 9, 1))
    assert texts(phone)[:3] == ["Hill", "Tree A1", "Lower garden"]
    assert texts(phone)[-2:] == ["No longer there", "Tree 1"]


def test_a_search_finds_cultivars_and_earlier_labels(phone: PhoneStore, row: tuple[str, ...]) -> None:
    rename_tree(phone, row[4], "North gate")
    assert texts(phone, "5") == ["Tree North gate"] and len(texts(phone, "early")) == 12
    assert texts(phone, "nothing like it") == []


def test_double_labels_and_two_records_of_one_tree_are_said(phone: PhoneStore, row: tuple[str, ...]) -> None:
    rename_tree(phone, row[1], "1")
    rows = {found.rec: found.second for found in orchard_trees(phone)}
    assert "another tree has this label too" in rows[row[0]]
    say_same(phone, row[0], row[1])
    (found,) = [one for one in orchard_trees(phone) if one.rec in row[:2]]
    assert "two records, one tree" in found.second
    assert "Two records are said to be this one tree." in tree_page(phone, row[1]).notes


def test_a_tree_s_page_names_its_neighbour_and_its_cultivars(phone: PhoneStore, row: tuple[str, ...]) -> None:
    late = add_graft(phone, row[6], "Late Green")
    page = tree_page(phone, row[6])
    assert page.after is not None and page.after.label == "6"
    assert tree_page(phone, row[0]).after is None
    assert sorted(graft.cultivar for graft in page.grafts) == ["Early Red", "Late Green"]
    rename_graft(phone, late, "Late Yellow")
    assert "Late Yellow" in tree_page(phone, row[6]).about
    retire_graft(phone, late)
    assert [graft.cultivar for graft in tree_page(phone, row[6]).grafts] == ["Early Red"]


def test_a_typed_order_puts_named_trees_first_and_backwards_where_it_says_so(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    order = trees_in_typed_order(phone, garden, "12, 3-1, 5-6, 2")
    assert order == (row[11], row[2], row[1], row[0], row[4], row[5], row[3], *row[6:11])
    for text in ("", "1-40", "x"):
        with pytest.raises(BadInputError):
            trees_in_typed_order(phone, garden, text)


def test_a_trap_s_page_says_where_it_hangs_and_since_when(phone: PhoneStore, garden: str, trap: str) -> None:
    assert trap_page(phone, trap).about == "Lower garden · since Friday 1 May"
    move_trap(phone, trap, place="Barn", height_m=2.5)
    page = trap_page(phone, trap)
    assert page.about == together("Lower garden · Barn · 2.5 m high · since Saturday 12 September")
    assert page.order == (trap,) and page.labels == {trap: "1"}


def test_taking_a_trap_down_and_moving_it_are_taken_back(phone: PhoneStore, garden: str, trap: str) -> None:
    take_trap_down(phone, trap)
    assert [row.text for row in orchard_traps(phone)] == ["Taken down", "Trap 1"]
    hang_again(phone, trap)
    (placement,) = phone.all(Placement)
    assert placement.to_day is None and not trap_known(phone, trap).retired
    other = name_garden(phone, "Hill", Hemisphere.NORTH).garden
    hung = move_trap(phone, trap, garden=other)
    take_back_move(phone, trap, hung.placement, garden)
    (placement,) = phone.all(Placement)
    assert placement.to_day is None and trap_known(phone, trap).garden == garden


def test_gardens_head_traps_too(phone: PhoneStore, garden: str, trap: str) -> None:
    upper = name_garden(phone, "Hill", Hemisphere.NORTH).garden
    hang_trap(phone, "2", upper, form="delta")
    when = "When: flight, warmth, what comes next"
    assert [(row.text, row.second) for row in orchard_traps(phone)] == [
        ("Hill", when),
        ("Trap 2", "delta"),
        ("Lower garden", when),
        ("Trap 1", ""),
    ]
    assert [row.garden for row in orchard_traps(phone) if not row.rec] == [upper, garden]

"""Many trees at once, as people say them."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.tree_choice import choose_trees, trees_as_last_time, trees_of_garden, trees_of_row
from mobile.workflows.tree_list import TreeList
from mobile.workflows.trees import add_row, add_tree, put_in_order, retire_tree
from shared_models.errors import BadInputError


def labels(phone: PhoneStore, trees: tuple[str, ...]) -> str:
    """Labels of trees, in their order."""
    return " ".join(TreeList(phone).line(tree).label for tree in trees)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("3-7, 12", "3 4 5 6 7 12"),
        ("12;3 – 5", "3 4 5 12"),
        ("7-3", "3 4 5 6 7"),
        ("4, 4, 3-5", "3 4 5"),
        (" 8 ", "8"),
    ],
)
def test_numbers_and_ranges_are_read_in_walking_order(
    phone: PhoneStore, garden: str, row: tuple[str, ...], text: str, meant: str
) -> None:
    assert labels(phone, choose_trees(phone, garden, text)) == meant


def test_a_range_goes_by_the_walk_and_not_by_the_numbers(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    put_in_order(phone, [row[2], row[11], row[4], *row[:2], row[3], *row[5:11]])
    assert labels(phone, choose_trees(phone, garden, "3-5")) == "3 12 5"


def test_a_prefix_may_be_said_once_and_a_row_by_its_prefix(phone: PhoneStore, garden: str) -> None:
    add_row(phone, garden, 9, prefix="A")
    add_row(phone, garden, 3, prefix="B")
    add_tree(phone, "old-pear", garden)
    assert labels(phone, choose_trees(phone, garden, "a3-5, OLD-PEAR")) == "A3 A4 A5 old-pear"
    assert labels(phone, choose_trees(phone, garden, "A8 - B2")) == "A8 A9 B1 B2"
    assert labels(phone, trees_of_row(phone, garden, "b")) == "B1 B2 B3"
    assert len(trees_of_garden(phone, garden)) == 13


@pytest.mark.parametrize("text", ["13", "3-13", "3-", "nowhere", "3-4-5"])
def test_what_stands_for_no_tree_is_named(
    phone: PhoneStore, garden: str, row: tuple[str, ...], text: str
) -> None:
    with pytest.raises(BadInputError, match="No standing tree") as refused:
        choose_trees(phone, garden, text)
    assert refused.value.field == "trees"


def test_nothing_said_is_refused(phone: PhoneStore, garden: str, row: tuple[str, ...]) -> None:
    with pytest.raises(BadInputError, match="Name the trees"):
        choose_trees(phone, garden, " , ")
    with pytest.raises(BadInputError, match="labelled Z and a number"):
        trees_of_row(phone, garden, "Z")


def test_a_label_on_two_trees_has_to_be_chosen_from_the_list(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    add_tree(phone, "5", garden)
    with pytest.raises(BadInputError, match="Several trees here are labelled 5"):
        choose_trees(phone, garden, "5")


def test_the_same_as_last_time_leaves_out_trees_that_are_gone(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    assert trees_as_last_time(phone, "netting") == ()
    record_job(phone, "netting", trees=row[:4])
    record_job(phone, "netting", trees=row[5:7], told=Told(when="2026-09-01"))
    retire_tree(phone, row[1])
    assert labels(phone, trees_as_last_time(phone, "netting")) == "1 3 4"

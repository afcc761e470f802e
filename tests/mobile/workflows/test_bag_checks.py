"""A later look at the bags of a tree."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bag_checks import BagsSeen, check_bags
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.history import Wanted, lines
from mobile.workflows.tally import Amount
from shared_models.errors import BadInputError
from shared_models.records.bag_checks import BagCheck


def test_a_look_is_kept_with_its_numbers_and_none_is_a_number(phone: PhoneStore, tree: str) -> None:
    checked = check_bags(phone, tree, BagsSeen(still_on=31, fell_empty=4, torn=0))
    (record,) = phone.all(BagCheck)
    assert (record.still_on, record.fell_empty, record.fell_with_fruit, record.torn) == (31, 4, None, 0)
    assert checked.in_words == "31 on, 4 fell empty, 0 torn" and checked.doubts == ()


def test_a_look_without_a_number_is_refused_and_nothing_kept(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="at least one"):
        check_bags(phone, tree, BagsSeen())
    assert phone.all(BagCheck) == []


def test_a_look_never_changes_how_many_were_put_on(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.number(Amount.exactly(40))
    check_bags(phone, tree, BagsSeen(still_on=25, fell_with_fruit=2))
    assert visit.refresh().on_tree == 40


def test_more_torn_than_on_is_kept_and_doubted(phone: PhoneStore, tree: str) -> None:
    assert [doubt.field for doubt in check_bags(phone, tree, BagsSeen(still_on=2, torn=3)).doubts] == ["torn"]


def test_a_look_stands_in_the_history_of_its_tree(phone: PhoneStore, tree: str) -> None:
    check_bags(phone, tree, BagsSeen(still_on=31))
    (line,) = lines(phone, Wanted(tree=tree))
    assert line.sentence == "Bags of tree 7: 31 on"

"""Trees as Bags and Picking list them, in walking order."""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import Amount
from mobile.workflows.tree_plans import declare_untreated, own_method, plan_tree
from mobile.workflows.tree_rounds import bag_rows, pick_rows, plan_in_words, tree_after
from mobile.workflows.trees import add_tree, say_same
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit, Reach
from tests.mobile.phones import SetClock


def test_bags_of_today_and_of_the_season_stand_beside_each_other(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    BaggingRound(phone, Told(when="2025-06-10")).open(row[0]).number(Amount.exactly(99))
    BaggingRound(phone, Told(when="2026-06-10")).open(row[0]).number(Amount.exactly(30))
    visit = BaggingRound(phone).open(row[0])
    visit.took(20)
    visit.left(13)
    first, second = bag_rows(phone)[:2]
    assert (first.today, first.on_tree, first.open) == (7, 37, visit.visit)
    assert first.in_words == "Early Red · not finished · 7 today · 37 on the tree"
    assert (second.on_tree, second.open, second.in_words) == (0, None, "Early Red · no bags yet")


def test_a_finished_visit_is_no_longer_open(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.ten()
    visit.done()
    assert [line.open for line in bag_rows(phone) if line.on_tree] == [None]


def test_the_rows_stand_in_walking_order_and_name_the_garden_where_there_are_several(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    hill = name_garden(phone, "Hill", Hemisphere.NORTH).garden
    add_tree(phone, "H1", hill)
    rows = bag_rows(phone)
    assert [one.tree.label for one in rows] == ["H1", *(str(number) for number in range(1, 13))]
    assert rows[0].in_words == "Hill · no bags yet"


def test_a_season_of_the_south_is_its_own(phone: PhoneStore, row: tuple[str, ...]) -> None:
    south = name_garden(phone, "South", Hemisphere.SOUTH).garden
    (tree,) = add_tree(phone, "S1", south).trees
    for when, bags in (("2026-06-30", 5), ("2026-07-01", 8)):
        BaggingRound(phone, Told(when=when)).open(tree).number(Amount.exactly(bags))
    assert [one.on_tree for one in bag_rows(phone) if one.tree.tree == tree] == [8]


def test_two_records_of_one_tree_are_one_row(phone: PhoneStore, garden: str, tree: str) -> None:
    other = add_tree(phone, "7", garden).trees[0]
    BaggingRound(phone).open(other).number(Amount.exactly(8))
    say_same(phone, tree, other)
    assert [one.on_tree for one in bag_rows(phone) if one.tree.label == "7"] == [8]


def test_what_was_scored_and_planned_is_told_tree_by_tree(phone: PhoneStore, row: tuple[str, ...]) -> None:
    visit = PickingVisit(phone, row[0])
    visit.score(Fruit.STING)
    visit.score(Fruit.CLEAN)
    garlic = own_method(phone, "garlic", Reach.TREE)
    plan_tree(phone, row[0], ["bagging", garlic], season="2026")
    plan_tree(phone, row[1], ["kaolin_film"], season="2025")
    declare_untreated(phone, [row[2]])
    first, second, third = pick_rows(phone)[:3]
    assert (first.scored, first.planned) == (2, "planned: bagging + garlic")
    assert first.in_words.endswith("2 fruit scored, last Saturday 12 September, 10:00")
    assert (second.planned, second.in_words) == ("", "Early Red · not scored yet")
    assert third.planned == "left untreated" == plan_in_words(phone, row[2])
    assert plan_in_words(phone, row[1]) == ""


def test_a_row_never_shows_a_share(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    for fruit in (Fruit.STING, Fruit.CLEAN):
        visit.score(fruit)
    assert not any("%" in line.in_words for line in pick_rows(phone))


def test_the_next_tree_is_that_in_walking_order_and_none_after_the_last(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    after = tree_after(phone, row[0])
    assert after is not None and after.tree == row[1]
    assert tree_after(phone, row[-1]) is None

"""With a box of bags: what was put on, by whom, in what time."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BagAnswer, BaggingRound, BaggingVisit, take_bags_off
from mobile.workflows.corrections import adjust, correct, undo
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from mobile.workflows.season import report_of
from mobile.workflows.tally import Amount
from mobile.workflows.tree_visit import Idle
from mobile.workflows.trees import add_tree, say_same
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.gardens import PlanLine
from shared_models.records.tallies import Adjustment, Visit
from tests.mobile.phones import Phones, SetClock
from tests.mobile.workflows.exchanges import hears


def test_took_50_left_13_makes_37_on_the_tree(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    visit = BaggingRound(phone).open(tree)
    assert visit.took(50).on_visit == 50
    clock.move(minutes=42)
    view = visit.left(13)
    assert (view.by_box, view.on_visit, view.today, view.on_tree) == (37, 37, 37, 37)
    visit.done()
    (record,) = phone.all(Visit)
    assert (record.when, record.ended) == ("2026-09-12T10:00:00+02:00", "2026-09-12T10:42:00+02:00")


def test_a_second_box_adds_to_what_was_taken(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.took(50)
    visit.took_more(50)
    assert visit.left(10).on_visit == 90


def test_more_left_than_taken_is_kept_and_doubted(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.took(5)
    view = visit.left(9)
    assert view.on_visit == 0 and [doubt.field for doubt in view.at.doubts] == ["left"]


def test_marks_tens_and_numbers_add_up_and_the_newest_own_mark_is_taken_back(
    phone: PhoneStore, tree: str
) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.bag()
    visit.bag()
    visit.ten()
    assert visit.number(Amount.exactly(25)).on_visit == 37
    assert visit.take_back().on_visit == 36
    assert visit.take_back().on_visit == 35
    view = visit.take_back()
    assert view.on_visit == 35 and "no mark of yours" in str(view.at.note)


def test_a_visit_counted_both_ways_counts_by_the_box_and_shows_both(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.number(Amount.exactly(30))
    visit.took(50)
    view = visit.left(13)
    assert (view.by_box, view.tallied, view.on_visit) == (37, 30, 37)
    assert report_of(phone, "2026").bags_put_on == 37


def test_several_helpers_at_one_tree_add_up(
    phone: PhoneStore, neighbour: PhoneStore, tree: str, clock: SetClock
) -> None:
    hears(neighbour, phone)
    bo = add_person(phone, "Bo")
    walk = BaggingRound(phone)
    walk.open(tree).number(Amount.exactly(20))
    walk.open(tree, done_by=bo).number(Amount.exactly(5))
    BaggingRound(neighbour).open(tree).took(12)
    mine = walk.open(tree)
    assert (mine.view.on_visit, mine.view.on_tree) == (20, 25)  # goes on with my own visit, not with Bo's
    hears(phone, neighbour)
    view = mine.refresh()
    assert (view.on_visit, view.today, view.on_tree) == (20, 37, 37)
    assert {visit.person for visit in phone.all(Visit)} >= {bo}


def test_today_is_of_today_and_the_tree_of_the_season(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    BaggingRound(phone, Told(when="2025-06-10")).open(tree).number(Amount.exactly(99))
    BaggingRound(phone, Told(when="2026-06-10")).open(tree).number(Amount.exactly(30))
    view = BaggingRound(phone).open(tree).ten()
    assert (view.today, view.on_tree) == (10, 40)


def test_bags_of_two_records_of_one_tree_are_bags_of_one_tree(
    phone: PhoneStore, garden: str, tree: str
) -> None:
    other = add_tree(phone, "7", garden).trees[0]
    BaggingRound(phone).open(other).number(Amount.exactly(8))
    say_same(phone, tree, other)
    assert BaggingRound(phone).open(tree).view.on_tree == 8


def test_material_and_fruit_size_are_asked_once_a_round(
    phones: Phones, phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    walk = BaggingRound(phone)
    first = walk.open(row[0])
    assert first.view.asked and first.view.offered is None
    first.answer("two-layer paper", 22)
    first.ten()
    second = walk.open(row[1]).ten()
    assert not second.asked and second.answer == BagAnswer("two-layer paper", 22)
    phone.close()
    again = phones.open(clock=clock)
    assert not BaggingRound(again).open(row[2]).view.asked  # the same round, after the app was killed
    clock.move(days=3)
    later = BaggingRound(again).open(row[2]).view
    assert later.asked and later.offered == BagAnswer("two-layer paper", 22)


def test_an_answer_given_in_the_middle_reaches_the_visit(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.ten()
    assert visit.answer("nylon", 18.5).answer == BagAnswer("nylon", 18.5)
    assert phone.all(Visit)[0].fruit_size_mm == 18.5


def test_the_hours_begin_before_the_first_bag_is_counted(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.start()
    clock.move(minutes=55)
    visit.pause(10)
    visit.number(Amount.about(40))
    visit.done()
    (record,) = phone.all(Visit)
    assert (record.when[11:16], str(record.ended)[11:16], record.pause_minutes) == ("10:00", "10:55", 10)


def test_a_tree_looked_at_long_before_begins_with_its_first_bag(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = BaggingRound(phone).open(tree)
    clock.move(hours=3)
    visit.ten()
    assert phone.all(Visit)[0].when == "2026-09-12T13:00:00+02:00"


def test_away_ends_a_visit_with_its_last_touch_and_so_does_the_next_day(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    walk = BaggingRound(phone)
    first, second = walk.open(row[0]), walk.open(row[1])
    first.ten()
    second.ten()
    clock.move(minutes=50)
    assert first.view.at.idle_minutes == 50
    first.done(Idle.AWAY)
    clock.move(days=1)
    second.done()
    assert {visit.ended for visit in phone.all(Visit)} == {"2026-09-12T10:00:00+02:00"}


def test_bags_taken_off_later_never_lower_the_number(phone: PhoneStore, tree: str) -> None:
    BaggingRound(phone).open(tree).number(Amount.exactly(40))
    take_bags_off(phone, [tree], number=38, minutes=20)
    assert BaggingRound(phone).open(tree).view.on_tree == 40
    assert report_of(phone, "2026").bags_put_on == 40
    with pytest.raises(BadInputError):
        take_bags_off(phone, [tree], number=-1)


def test_the_first_bags_of_a_garden_ask_about_the_trees_beside(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    walk = BaggingRound(phone)
    visit = walk.open(row[6])
    question = visit.view.question
    assert question is not None and [line.label for line in question.trees] == ["6", "8"]
    declared = visit.leave_beside_untreated([row[5]])
    assert len(declared.records) == 1 and visit.view.question is None
    (line,) = phone.all(PlanLine)
    assert (line.tree, line.left_untreated, line.season) == (row[5], True, "2026")
    visit.ten()
    assert walk.open(row[0]).view.question is None  # asked once a garden and season


def test_bags_can_be_adjusted_by_a_difference(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    made = visit.number(Amount.exactly(40)).at.visit
    assert made is not None
    adjust(phone, made, -3, "three fell off the ladder unused")
    assert visit.view.on_visit == 37 and report_of(phone, "2026").bags_put_on == 37


@pytest.mark.parametrize("difference", [-20, 20])
def test_bags_counted_by_the_box_are_corrected_by_what_was_taken_or_left(
    phone: PhoneStore, tree: str, difference: int
) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.took(50)
    made = str(visit.left(13).at.visit)
    with pytest.raises(BadInputError, match=r"took 50, left 13.*correct what was taken or left") as refused:
        adjust(phone, made, difference, "counted again")
    assert refused.value.field == "n" and phone.all(Adjustment) == []
    correct(phone, made, "counted again", left=33)
    assert visit.view.on_visit == 17 and report_of(phone, "2026").bags_put_on == 17


@pytest.mark.parametrize(
    "amount", [Amount.exactly(-1), Amount.exactly(1_000_001), Amount(), Amount.from_to(9, 3)]
)
def test_a_number_that_cannot_be_is_refused_and_nothing_is_lost(
    phone: PhoneStore, tree: str, amount: Amount
) -> None:
    visit: BaggingVisit = BaggingRound(phone).open(tree)
    visit.ten()
    with pytest.raises(BadInputError) as refused:
        visit.number(amount)
    assert refused.value.field in ("n", "low") and visit.view.on_visit == 10


def test_from_to_counts_as_its_middle(phone: PhoneStore, tree: str) -> None:
    assert BaggingRound(phone).open(tree).number(Amount.from_to(20, 31)).on_visit == 25.5


def test_what_was_said_of_the_box_is_taken_back_to_what_it_was(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.bag()
    before = visit.view
    visit.took(50)
    assert visit.by_the_box_as(before).on_visit == 1
    before = visit.took(50)
    visit.left(13)
    view = visit.by_the_box_as(before)
    assert (view.took, view.left, view.on_visit) == (50, None, 50)


def test_a_number_names_itself_so_that_it_can_be_undone(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone).open(tree)
    visit.bag()
    visit.ten()
    undo(phone, str(visit.made))
    assert visit.view.on_visit == 1


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (BagAnswer(), ""),
        (BagAnswer("paper"), "paper"),
        (BagAnswer("paper", 22), together("paper, fruit 22 mm")),
        (BagAnswer(None, 22.5), together("fruit 22.5 mm")),
    ],
)
def test_material_and_size_are_told_in_words(answer: BagAnswer, words: str) -> None:
    assert answer.in_words == words

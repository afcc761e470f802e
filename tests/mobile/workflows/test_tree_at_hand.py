"""A tree at hand: touches taken back, hours held, on to the next; with bags and with fruit alike."""

from typing import Any

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BagAnswer, BaggingVisit
from mobile.workflows.bags_at_hand import BagsAtHand
from mobile.workflows.drops_at_hand import DropsAtHand
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.fruit_at_hand import FruitAtHand
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from mobile.workflows.tally import BAG_ON, Amount
from mobile.workflows.tree_at_hand import take_back_end
from mobile.workflows.tree_plans import plan_tree
from mobile.workflows.tree_visit import Idle
from mobile.workflows.trees import add_graft
from shared_models.records.tallies import Pick, Visit
from shared_models.vocabulary import Fruit, Source
from tests.mobile.phones import SetClock

TOUCHES: dict[Any, Any] = {
    BagsAtHand: BaggingVisit.bag,
    FruitAtHand: lambda visit: visit.score(Fruit.CLEAN),
    DropsAtHand: DropsVisit.damaged,
}


def test_the_first_touch_is_taken_back_with_the_visit_it_began(phone: PhoneStore, tree: str) -> None:
    for touch in (BaggingVisit.bag, BaggingVisit.ten, lambda visit: visit.took(50)):
        touched = BagsAtHand(phone, tree).touch(touch)
        assert len(phone.all(Visit)) == 1
        touched.take_back(phone)
        assert phone.all(Visit) == []


def test_a_later_touch_is_taken_back_alone(phone: PhoneStore, tree: str) -> None:
    hand = BagsAtHand(phone, tree)
    hand.touch(BaggingVisit.ten)
    for touch in (BaggingVisit.bag, BaggingVisit.ten, lambda visit: visit.took(50)):
        hand.touch(touch).take_back(phone)
        assert hand.shown.view.on_visit == 10


def test_the_first_fruit_is_taken_back_with_visit_and_pick(phone: PhoneStore, tree: str) -> None:
    FruitAtHand(phone, tree).touch(lambda visit: visit.score(Fruit.STING)).take_back(phone)
    assert phone.all(Visit) == [] and phone.all(Pick) == []


def test_a_second_mark_is_taken_back_alone(phone: PhoneStore, tree: str) -> None:
    hand = FruitAtHand(phone, tree)
    hand.touch(lambda visit: visit.score(Fruit.OTHER))
    touched = hand.touch(lambda visit: visit.and_also(Fruit.STING))
    assert touched.shown.view.last_fruit == (Fruit.OTHER, Fruit.STING)
    touched.take_back(phone)
    assert hand.shown.view.last_fruit == (Fruit.OTHER,)


def test_an_undone_visit_is_not_gone_on_with(phone: PhoneStore, tree: str) -> None:
    hand = BagsAtHand(phone, tree)
    hand.touch(BaggingVisit.ten)
    visit = str(hand.visit.visit)
    phone.undo(visit)
    again = BagsAtHand(phone, tree, visit=visit)
    assert again.shown.view.on_tree == 0
    again.touch(BaggingVisit.bag)
    assert [one.rec for one in phone.all(Visit)] != [visit]


def test_a_sentence_tells_how_many_and_never_which_share(phone: PhoneStore, tree: str) -> None:
    bags = BagsAtHand(phone, tree)
    assert bags.touch(BaggingVisit.bag).sentence == "Tree 7: 1 bag on."
    assert bags.touch(BaggingVisit.ten).sentence == "Tree 7: 11 bags on."
    fruit = FruitAtHand(phone, tree, part=BAG_ON, source=Source.DROP)
    fruit.touch(lambda visit: visit.score(Fruit.STING))
    assert fruit.touch(lambda visit: visit.score(Fruit.NOT_SURE)).sentence == "Tree 7: 2 fruit."


@pytest.mark.parametrize(("minutes", "asked"), [(14, 0), (15, 15), (200, 200)])
def test_a_silence_is_asked_about_from_fifteen_minutes_on(
    phone: PhoneStore, tree: str, clock: SetClock, minutes: int, asked: int
) -> None:
    hand = BagsAtHand(phone, tree)
    hand.touch(BaggingVisit.ten)
    clock.move(minutes=minutes)
    assert hand.minutes_without_touch() == asked
    assert hand.touch(BaggingVisit.ten).idle_minutes == asked


def test_a_tree_that_is_only_looked_at_for_long_asks_nothing(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    hand = BagsAtHand(phone, tree)
    clock.move(hours=3)
    assert hand.minutes_without_touch() == 0 and hand.touch(BaggingVisit.bag).idle_minutes == 0


def test_a_pause_ends_with_the_next_touch_and_asks_nothing(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    hand = BagsAtHand(phone, tree)
    assert hand.pause().paused_since is None  # nothing has begun
    hand.touch(BaggingVisit.ten)
    since = hand.pause().paused_since
    clock.move(minutes=40)
    again = BagsAtHand(phone, tree, paused_since=since)
    touched = again.touch(BaggingVisit.ten)
    assert (touched.idle_minutes, touched.shown.paused_since) == (0, None)
    assert touched.shown.hours is not None and touched.shown.hours.pause_minutes == 40


def test_done_in_a_pause_takes_the_pause_out(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    hand = FruitAtHand(phone, tree)
    hand.touch(lambda visit: visit.score(Fruit.CLEAN))
    clock.move(minutes=10)
    hand.pause()
    clock.move(minutes=30)
    hand.done()
    (visit,) = phone.all(Visit)
    assert (visit.ended, visit.pause_minutes) == ("2026-09-12T10:40:00+02:00", 30)


def test_minutes_away_are_taken_out(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    hand = BagsAtHand(phone, tree)
    hand.touch(BaggingVisit.ten)
    clock.move(minutes=40)
    hours = hand.was_away(25).hours
    assert hours is not None and hours.minutes == 15


def test_done_goes_on_in_walking_order_and_is_taken_back(phone: PhoneStore, row: tuple[str, ...]) -> None:
    hand = BagsAtHand(phone, row[3])
    hand.touch(BaggingVisit.ten)
    left = hand.done()
    assert left.next_tree is not None and left.next_tree.tree == row[4]
    assert left.sentence == "Tree 4: 10 bags on. Done."
    take_back_end(str(left.visit))(phone)
    assert [visit.ended for visit in phone.all(Visit)] == [None]


def test_done_until_the_last_touch(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    hand = BagsAtHand(phone, tree)
    hand.touch(BaggingVisit.ten)
    clock.move(hours=2)
    hand.done(Idle.AWAY)
    assert [visit.ended for visit in phone.all(Visit)] == ["2026-09-12T10:00:00+02:00"]


def test_a_tree_that_was_only_looked_at_is_left_without_a_word(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    left = FruitAtHand(phone, row[11]).done()
    assert (left.visit, left.sentence, left.next_tree) == (None, "", None)
    assert phone.all(Visit) == []


def test_a_helper_without_a_phone_has_a_visit_of_their_own_that_is_gone_on_with(
    phone: PhoneStore, tree: str
) -> None:
    bo = Told(done_by=add_person(phone, "Bo"))
    BagsAtHand(phone, tree).touch(BaggingVisit.ten)
    shown = BagsAtHand(phone, tree, bo).touch(BaggingVisit.bag).shown
    assert (shown.who, shown.by_me, shown.view.on_visit, shown.view.on_tree) == ("Bo", False, 1, 11)
    assert BagsAtHand(phone, tree, bo).touch(BaggingVisit.bag).shown.view.on_visit == 2
    assert len(phone.all(Visit)) == 2


def test_which_bags_is_carried_by_the_visit(phone: PhoneStore, tree: str) -> None:
    hand = BagsAtHand(phone, tree, answer=BagAnswer("nylon", 18))
    assert not hand.shown.view.asked
    hand.touch(lambda visit: visit.number(Amount.exactly(3)))
    hand.answer(BagAnswer("paper"))
    assert [visit.material for visit in phone.all(Visit)] == ["paper"]


def test_the_plan_and_the_cultivars_of_the_tree_are_told(phone: PhoneStore, tree: str) -> None:
    plan_tree(phone, tree, ["bagging"], season="2026")
    graft = add_graft(phone, tree, "Late Green")
    hand = FruitAtHand(phone, tree)
    assert hand.shown.plan == "planned: bagging"
    assert (graft, "Late Green") in hand.grafts and len(hand.grafts) == 2


@pytest.mark.parametrize("hand_of", [BagsAtHand, FruitAtHand, DropsAtHand])
def test_minus_one_is_a_touch_that_is_taken_back_too(phone: PhoneStore, tree: str, hand_of: Any) -> None:
    hand, touch = hand_of(phone, tree), TOUCHES[hand_of]
    hand.touch(touch)
    before = hand.touch(touch)
    less = hand.minus_one()
    assert less.sentence == before.sentence.replace("2", "1").replace("bags", "bag").replace(
        "drops", "drop"
    ) + (" One was taken back.")
    less.take_back(phone)
    assert hand.in_words(hand.shown.view) == before.sentence


@pytest.mark.parametrize("hand_of", [BagsAtHand, FruitAtHand, DropsAtHand])
def test_minus_one_without_a_mark_records_nothing_and_says_what_to_do(
    phone: PhoneStore, tree: str, hand_of: Any
) -> None:
    less = hand_of(phone, tree).minus_one()
    assert less.sentence == "" and "no mark of yours" in str(less.shown.view.at.note)
    assert phone.all(Visit) == []


def test_a_crate_is_taken_back_alone_and_with_the_visit_it_began(phone: PhoneStore, tree: str) -> None:
    hand = FruitAtHand(phone, tree)
    hand.touch(lambda visit: visit.weigh_more(12.5)).take_back(phone)
    assert phone.all(Visit) == [] and phone.all(Pick) == []
    hand.touch(lambda visit: visit.weigh_more(12.5, 7))
    hand.touch(lambda visit: visit.weigh_more(7.5)).take_back(phone)
    (pick,) = phone.all(Pick)
    assert (pick.weight_kg, pick.fruit_per_kg) == (12.5, 7)

"""Two people who score the same fruit on one phone, touch by touch."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from mobile.workflows.two_scorers import MOST, Turn, TwoScorers, compared
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.scoring_checks import DoubleScore
from shared_models.vocabulary import Fruit

C, S, D = Fruit.CLEAN, Fruit.STING, Fruit.DEEP_ENTRY


@pytest.fixture
def ben(phone: PhoneStore) -> str:
    """A helper without a phone."""
    return add_person(phone, "Ben")


def through(phone: PhoneStore, tree: str, second: str, first: list[Fruit], other: list[Fruit]) -> TwoScorers:
    """Both have scored."""
    hand = TwoScorers(phone, tree)
    hand.with_second(second)
    for fruit in first:
        hand.score(fruit)
    hand.hand_over()
    hand.begin_second()
    for fruit in other:
        hand.score(fruit)
    return hand


def test_both_marks_of_each_fruit_are_recorded_in_one_order(phone: PhoneStore, tree: str, ben: str) -> None:
    made = through(phone, tree, ben, [C, S, D], [C, C, D]).done().rec
    found = phone.get(DoubleScore, made)
    assert found is not None and phone.identity is not None
    assert (found.person, found.second, found.tree) == (phone.identity.person, ben, tree)
    assert (found.first_marks, found.second_marks) == ([C, S, D], [C, C, D])


def test_what_the_first_one_said_is_not_in_what_the_second_one_sees(
    phone: PhoneStore, tree: str, ben: str
) -> None:
    view = through(phone, tree, ben, [S, D], []).view
    assert (view.turn, view.scored, view.of, view.last, view.second) == (Turn.SECOND, 0, 2, None, "Ben")


def test_nothing_is_lost_where_the_phone_is_opened_anew_at_any_turn(
    phone: PhoneStore, tree: str, ben: str
) -> None:
    hand = TwoScorers(phone, tree)
    hand.with_second(ben)
    hand.score(C)
    for touch in (TwoScorers.hand_over, TwoScorers.begin_second):
        before = touch(hand)
        hand = TwoScorers(phone, tree)
        assert hand.view == before
    hand.score(S)
    assert TwoScorers(phone, tree).view.complete
    assert TwoScorers(phone, tree).done() and TwoScorers(phone, tree).view.turn is Turn.CHOOSE


def test_the_newest_mark_is_taken_back_and_a_touch_only_while_nothing_came_after_it(
    phone: PhoneStore, tree: str, ben: str
) -> None:
    hand = TwoScorers(phone, tree)
    before = hand.with_second(ben)
    hand.score(C)
    assert hand.take_back(before).scored == 0
    hand.score(C)
    hand.score(S)
    assert hand.take_back(before).scored == 2
    hand.less()
    assert (hand.view.scored, hand.view.last) == (1, C)
    hand.hand_over()
    assert hand.take_back(before).turn is Turn.HANDED_OVER
    assert hand.first_again().scored == 1


def test_the_second_one_scores_as_many_and_no_more(phone: PhoneStore, tree: str, ben: str) -> None:
    hand = through(phone, tree, ben, [C, C], [C])
    with pytest.raises(BadInputError, match="score what is missing"):
        hand.done()
    assert phone.all(DoubleScore) == [] and TwoScorers(phone, tree).view.scored == 1
    hand.score(S)
    with pytest.raises(BadInputError, match="nothing was added"):
        hand.score(S)
    assert hand.view.complete


def test_the_first_one_scores_no_more_than_a_record_holds(phone: PhoneStore, tree: str, ben: str) -> None:
    hand = TwoScorers(phone, tree)
    hand.with_second(ben)
    for _ in range(MOST):
        hand.score(C)
    with pytest.raises(BadInputError, match="nothing was added"):
        hand.score(C)


def test_a_second_person_and_a_fruit_are_needed(phone: PhoneStore, tree: str, ben: str) -> None:
    hand = TwoScorers(phone, tree, Told(done_by=ben))
    assert hand.view.first == "Ben" and ben not in [line.person for line in hand.view.others]
    with pytest.raises(BadInputError, match="second person"):
        hand.with_second(ben)
    assert phone.identity is not None
    hand.with_second(phone.identity.person)
    with pytest.raises(BadInputError, match="at least one fruit"):
        hand.hand_over()


def test_giving_up_leaves_nothing_and_is_taken_back(phone: PhoneStore, tree: str, ben: str) -> None:
    hand = through(phone, tree, ben, [C], [S])
    before = hand.view
    again = hand.give_up()
    assert TwoScorers(phone, tree).view.turn is Turn.CHOOSE and phone.all(DoubleScore) == []
    again(phone)
    assert TwoScorers(phone, tree).view == before


def test_once_recorded_it_is_taken_back_with_its_marks(phone: PhoneStore, tree: str, ben: str) -> None:
    hand = through(phone, tree, ben, [C], [S])
    before = hand.view
    hand.done().take_back(phone)
    assert phone.all(DoubleScore) == [] and TwoScorers(phone, tree).view == before


def test_trees_are_kept_apart(phone: PhoneStore, row: tuple[str, ...], ben: str) -> None:
    through(phone, row[0], ben, [C], [])
    assert TwoScorers(phone, row[1]).view.turn is Turn.CHOOSE
    assert TwoScorers(phone, row[0]).view.turn is Turn.SECOND


def test_the_comparison_says_how_many_are_alike_and_which_are_not(
    phone: PhoneStore, tree: str, ben: str
) -> None:
    made = through(phone, tree, ben, [C] * 8 + [S, D], [C] * 8 + [S, S]).done().rec
    shown = compared(phone, made)
    assert phone.identity is not None and shown.tree is not None and shown.tree.tree == tree
    # Wilson's range for 9 of 10, worked out by hand: (9 + 1.92) / 13.84 ± 1.96 · √(0.9 + 0.96) / 13.84.
    assert shown.sentence.endswith(together("9 of 10 fruit alike, 90 % (likely 60–98 %)."))
    (line,) = shown.differing
    assert line.startswith("Fruit 10: deep entry (") and line.endswith("), sting (Ben)")


def test_an_undone_double_score_is_told_as_such(phone: PhoneStore, tree: str, ben: str) -> None:
    made = through(phone, tree, ben, [C], [C]).done().rec
    phone.undo(made)
    with pytest.raises(BadInputError, match="not on this phone"):
        compared(phone, made)

"""Two people score the same fruit on one phone: the first, then the phone is handed over, then the second, unseen."""

from collections.abc import Callable
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.locked import lock, lock_as_left
from mobile.screens.score_twice_parts import (
    SCORING,
    how_far,
    last_fruit,
    six_keys,
    tree_of,
    what_next,
    which_fruit,
)
from mobile.screens.screen import Screen
from mobile.screens.when import told_of
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.columns import Even
from mobile.widgets.fields import TextField
from mobile.widgets.key_field import KeyField
from mobile.widgets.pad import Key
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store, Work
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from mobile.workflows.picking import KEYS
from mobile.workflows.two_scorers import WANTED, Kept, Turn, TwoScorers, TwoView
from shared_models.language import say, say_many, word
from shared_models.vocabulary import Fruit


class ScoreTwiceScreen(Screen):
    """One of four turns is shown; the hand keeps every mark at once, so that any turn is found again."""

    title = word("Score twice")

    def show(self) -> None:
        """Go on where it was left."""
        self._hand: TwoScorers | None = None
        self._view: TwoView | None = None
        self._keys: list[Key] = []
        tree, told = str(self.where.about["tree"]), told_of(self.where)
        self.ask(lambda store: _opened(store, tree, told), self._opened)

    def beside_back(self) -> list[Touchable]:
        """The next turn; what it is called follows."""
        self._next = Primary(say("Done"), self._on, sign_after="on")
        return [self._next]

    def number_key(self, number: int) -> None:
        """1 to 6 are the keys from the upper left, 0 takes the last fruit back."""
        if number == 0:
            self._do(TwoScorers.less)
        elif number <= len(KEYS):
            self._score(KEYS[number - 1])

    # ------------------------------------------------------------ answers
    def _opened(self, opened: tuple[TwoScorers, TwoView]) -> None:
        self._hand, view = opened
        self._tell(view)
        lock_as_left(self)

    def _do(self, work: Callable[[TwoScorers], TwoView]) -> None:
        hand = self._hand
        if hand is not None:
            self.ask(lambda _: work(hand), self._tell)

    def _tell(self, view: TwoView) -> None:
        turned, self._view = self._view is None or view.turn is not self._view.turn, view
        if turned:
            self._turn_over(view)
        if view.turn in SCORING:
            self._which.text, self._last.text = which_fruit(view), last_fruit(view)
            for key in self._keys:
                key.disabled = view.complete
        self._next.text, self._next.disabled = what_next(view), view.turn is Turn.SECOND and not view.complete

    def _turn_over(self, view: TwoView) -> None:
        """Another person's turn: all is made anew, so that nothing of the other's is left."""
        lines = {
            Turn.CHOOSE: self._choosing,
            Turn.FIRST: self._scoring,
            Turn.HANDED_OVER: self._handing_over,
            Turn.SECOND: self._scoring,
        }[view.turn](view)
        over = (
            [] if view.turn is Turn.CHOOSE else [Row(say("Leave it and forget these marks"), self._give_up)]
        )
        self._keys = six_keys(self._score) if view.turn in SCORING else []
        self.reading.fill(*lines, *over)
        self.thumb.fill(*([KeyField(self._keys)] if self._keys else []))

    # ------------------------------------------------------------ the turns
    def _choosing(self, view: TwoView) -> list[Widget]:
        self._name = TextField(
            say("Or a helper without a phone, by name"),
            self.where.draft.get("name", ""),
            lambda text: self.keep(name=text),
        )
        return [
            Words(
                say(
                    "Two people score the same fruit, about {number}, each unseen by the other.",
                    number=WANTED,
                )
            ),
            small(say("It tells how far the scoring can be trusted; it counts in no share.")),
            Words(say("{first} scores first. Who scores second?", first=view.first), bold=True),
            *(Row(line.name, partial(self._begin_with, line.person), sign="person") for line in view.others),
            self._name,
        ]

    def _scoring(self, view: TwoView) -> list[Widget]:
        self._which, self._last = heading(""), Words("", bold=True)
        how = (
            say("Lay the fruit in a row, so that {second} scores it in the same order.", second=view.second)
            if view.turn is Turn.FIRST
            else say("The same fruit in the same order. What {first} said is not shown.", first=view.first)
        )
        less = Action(say("−1"), lambda: self._do(TwoScorers.less))
        tools = Even(less, Action(say("Lock"), partial(lock, self)))
        return [self._which, self._last, tools, small(how), small(tree_of(view))]

    def _handing_over(self, view: TwoView) -> list[Widget]:
        scored = say_many("{count} fruit is scored.", "{count} fruit are scored.", view.of or 0)
        return [
            heading(tree_of(view)),
            Words(say("Give the phone to {second}.", second=view.second), bold=True),
            Words(scored),
            small(say("What {first} said is not shown.", first=view.first)),
            Row(
                say("{first} scores more of it", first=view.first),
                lambda: self._do(TwoScorers.first_again),
                sign="fruit",
            ),
        ]

    # ------------------------------------------------------------ touches
    def _score(self, fruit: Fruit) -> None:
        hand, before = self._hand, self._view
        if hand is None or before is None or before.turn not in SCORING or before.complete:
            return

        def work(_: Store) -> tuple[TwoView, TwoView]:
            return hand.view, hand.score(fruit)

        self.ask(work, lambda views: self._scored(hand, *views))

    def _scored(self, hand: TwoScorers, before: TwoView, after: TwoView) -> None:
        self._tell(after)
        self.recorded(how_far(after), lambda _: hand.take_back(before))

    def _begin_with(self, person: str) -> None:
        self._do(lambda hand: hand.with_second(person))

    def _begin_with_helper(self) -> None:
        name = self._name.text
        if name:
            self.ask(lambda store: add_person(store, name), self._begin_with)
        else:
            self._name.error = say("Touch a name above, or type one here.")

    def _give_up(self) -> None:
        hand, about = self._hand, dict(self.where.about)
        if hand is not None:
            self.ask(lambda _: hand.give_up(), lambda take_back: self._given_up(take_back, about))

    def _given_up(self, take_back: Work[None], about: dict[str, Any]) -> None:
        self.back()
        self.recorded(say("Score twice: left."), take_back, lambda: self.frame.go("score_twice", **about))

    # ------------------------------------------------------------ on
    def _on(self) -> None:
        turn = self._view.turn if self._view else None
        if turn is Turn.CHOOSE:
            self._begin_with_helper()
        elif turn is Turn.FIRST:
            self._do(TwoScorers.hand_over)
        elif turn is Turn.HANDED_OVER:
            self._do(TwoScorers.begin_second)
        elif self._hand is not None:
            hand = self._hand
            self.ask(lambda _: hand.done(), self._done)

    def _done(self, kept: Kept) -> None:
        about = dict(self.where.about)
        self.instead("scored_twice", rec=kept.rec, **about)
        self.recorded(
            say("Kept beside the season’s comparison."),
            kept.take_back,
            lambda: self.frame.instead("score_twice", **about),
        )


def _opened(store: Store, tree: str, told: Told) -> tuple[TwoScorers, TwoView]:
    hand = TwoScorers(store, tree, told)
    return hand, hand.view

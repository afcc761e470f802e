"""At one trap: one touch a moth, none as easy as a number, done, and on to the next trap in walking order."""

from dataclasses import dataclass
from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.locked import lock, lock_as_left
from mobile.screens.screen import Screen
from mobile.screens.trap_more import overlapping_count, what_was_changed
from mobile.screens.trap_parts import (
    Touch,
    beside_the_number,
    how_it_is_counted,
    other_outcomes,
    past_visits,
    said_of,
    sentences,
    sums,
    type_a_number,
)
from mobile.screens.when import WhenLine, as_about, told_of
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.columns import Line
from mobile.widgets.notices import Notice
from mobile.widgets.pad import Pad
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.moments import Told
from mobile.workflows.trap_round import TrapAtHand, TrapDone, TrapRound, TrapView
from shared_models.language import say, word
from shared_models.vocabulary import TrapState


@dataclass(frozen=True, slots=True)
class Touched:
    """A trap before and after a touch."""

    before: TrapView
    after: TrapView


class AtHand:
    """The visit that is being made, with its newest view; used by the worker's thread alone."""

    def __init__(self, hand: TrapAtHand) -> None:
        self.hand, self.view = hand, hand.view

    def touch(self, touch: Touch) -> Touched:
        """Record a touch."""
        before, self.view = self.view, touch(self.hand)
        return Touched(before, self.view)

    def take_back(self, before: TrapView) -> None:
        """Be as before a touch."""
        self.view = self.hand.take_back(before)


class TrapScreen(Screen):
    """The visit lives in `_hand`; the screen shows what came back from it."""

    title = word("At the trap")

    def show(self) -> None:
        """Stand before the trap; goes on with an unfinished visit."""
        self._hand: AtHand | None = None
        trap, visit, told = str(self.where.about["trap"]), self.where.about.get("visit"), told_of(self.where)
        self.ask(lambda store: _opened(store, trap, visit, told), self._opened)

    def beside_back(self) -> list[Touchable]:
        """End the visit."""
        return [Primary(say("Done, next trap"), self._done, sign_after="on")]

    def number_key(self, number: int) -> None:
        """0 is none; any other number adds as many moths."""
        if number == 0:
            self.touch(TrapAtHand.none)
        for _ in range(number):
            self.touch(TrapAtHand.plus_one)

    def touch(self, touch: Touch) -> None:
        """Record one touch; shown when it is on disk."""
        hand = self._hand
        if hand is not None:
            self.ask(lambda _: hand.touch(touch), lambda touched: self._touched(hand, touched))

    # ------------------------------------------------------------ answers
    def _opened(self, opened: tuple[AtHand, TrapView]) -> None:
        self._hand, view = opened
        self._sums, self._notices = Words(""), list[Notice]()
        self._said: TrapView | None = None
        self._pad = Pad(say("+1 moth"), lambda: self.touch(TrapAtHand.plus_one), sign="moth")
        less = Action(say("−1"), lambda: self.touch(TrapAtHand.minus_one), least=80, size_hint_x=0.8)
        none = Action(
            say("None"),
            lambda: self.touch(TrapAtHand.none),
            least=80,
            sign="none",
            upright=True,
            spacing=0,
        )
        other = Action(
            say("Not counted"),
            lambda: self.lay(other_outcomes(self.touch)),
            least=80,
            points=16,
            size_hint_x=1.25,
        )
        self.thumb.fill(self._pad, Line(less, none, other))
        self._tell(view)
        lock_as_left(self)

    def _touched(self, hand: AtHand, touched: Touched) -> None:
        self._tell(touched.after)
        if touched.after == touched.before:
            return

        def undo(_: Store) -> None:
            hand.take_back(touched.before)

        self.recorded(said_of(touched.after), undo)

    def _tell(self, view: TrapView) -> None:
        """The number and its sums change in place; the lines are made anew only where they say something else."""
        self._pad.number = _number(view)
        self._sums.text = "\n".join(sums(view))
        said = beside_the_number(view)
        if said == self._said:
            for notice, sentence in zip(self._notices, sentences(view), strict=False):
                notice.words.text = sentence
            return
        self._said, place = said, self.reading.scroll_y
        self.reading.fill(*self._lines(view))
        self.reading.scroll_y = place

    def _lines(self, view: TrapView) -> list[Widget]:
        if self._sums.parent is not None:
            self._sums.parent.remove_widget(self._sums)
        self._notices = [Notice(sentence) for sentence in sentences(view)]
        return [
            heading(say("Trap {trap}", trap=view.label)),
            *self._notices,
            *overlapping_count(self.touch, view),
            *(Words(line) for line in view.same_day),
            how_it_is_counted(self.touch, view),
            self._sums,
            self._when(view),
            *past_visits(view),
            Row(say("Lock against rain and pocket"), partial(lock, self), sign="lock"),
            *what_was_changed(self.touch, view, self.lay),
            Action(say("Type a number"), lambda: self.lay(type_a_number(self.touch))),
        ]

    def _when(self, view: TrapView) -> WhenLine:
        return WhenLine(
            self,
            lambda _: self.again(),
            visit_of=lambda: self._hand.view.visit if self._hand else None,
            where={"trap": view.trap},
            recorded=view.when if view.visit else None,
        )

    # ------------------------------------------------------------ done
    def _done(self) -> None:
        hand = self._hand
        if hand is not None:
            self.ask(lambda _: hand.hand.done(), self._ended)

    def _ended(self, done: TrapDone) -> None:
        visit, trap = done.view.visit, done.view.trap

        def undo(store: Store) -> None:
            TrapRound(store).open_again(str(visit)).go_on()

        self.recorded(
            say("{what} Done.", what=said_of(done.view)),
            undo,
            lambda: self.frame.go("trap", trap=trap, visit=visit),
        )
        if done.next_trap is None:
            self.go("traps")
        else:
            self.instead("trap", trap=done.next_trap.trap, **as_about(told_of(self.where)))


def _number(view: TrapView) -> str:
    counted = view.state is TrapState.COUNTED and view.number is not None
    return str(view.number) if counted else ""


def _opened(store: Store, trap: str, visit: str | None, told: Told) -> tuple[AtHand, TrapView]:
    walk = TrapRound(store)
    hand = AtHand(walk.open_again(visit) if visit else walk.open(trap, told))
    return hand, hand.view

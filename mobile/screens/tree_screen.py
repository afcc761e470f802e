"""What the screens of a visit to one tree share: touches, hours, *this was another tree*, done and on to the next.

A subclass opens its hand, builds its keys and tells what came back; it names itself (`name`) and its list (`tab_name`).
"""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

from kivy.clock import Clock
from kivy.uix.widget import Widget

from mobile.screens.around import Around
from mobile.screens.find_tree import find_tree
from mobile.screens.locked import lock, lock_as_left
from mobile.screens.screen import Screen
from mobile.screens.visit_hours import HoursLine, idle_at_end
from mobile.screens.when import WhenLine, as_about, told_of
from mobile.widgets.buttons import Primary, Row
from mobile.widgets.touchable import Touchable
from mobile.workflows.asking import Store
from mobile.workflows.corrections import move_to_tree
from mobile.workflows.tree_at_hand import Left, OfTree, Shown, Touched, TreeAtHand, take_back_end
from mobile.workflows.tree_plans import Declared
from mobile.workflows.tree_visit import Idle, TreeVisit
from shared_models.language import say

T = TypeVar("T", bound=TreeVisit)
V = TypeVar("V", bound=OfTree)
A_MINUTE = 60  # [s] after which the hours are told anew


class TreeScreen(Screen, Generic[T, V]):
    """The visit lives in `hand`; the screen shows what came back from it."""

    name = ""
    list_name = ""

    def __init__(self, frame: Around) -> None:
        self._minutes = Clock.create_trigger(lambda _: self.tell_again(), A_MINUTE, interval=True)
        super().__init__(frame)

    # ------------------------------------------------------------ to override
    def open_hand(self, store: Store) -> TreeAtHand[T, V]:
        """Stand at the tree."""
        raise NotImplementedError

    def build(self) -> None:
        """Make the keys; called once the tree is known."""
        raise NotImplementedError

    def tell(self, shown: Shown[V]) -> None:
        """Show how it stands."""
        raise NotImplementedError

    def goes_along(self) -> dict[str, Any]:
        """What goes with the person to the next tree."""
        return as_about(told_of(self.where))

    # ------------------------------------------------------------ at the tree
    def show(self) -> None:
        """Stand at the tree; goes on with an unfinished visit."""
        self.hand: TreeAtHand[T, V] | None = None
        self.shown: Shown[V] | None = None
        self.hours = HoursLine(self)
        self.ask(lambda store: _with_what_it_shows(self.open_hand(store)), self._opened)
        self._minutes.cancel()
        self._minutes()

    def left(self) -> None:
        """Somewhere else the minutes are not told."""
        self._minutes.cancel()
        super().left()

    def beside_back(self) -> list[Touchable]:
        """End the visit and go on."""
        return [Primary(say("Done, next tree"), self._done, sign_after="on")]

    @property
    def tree(self) -> str:
        """The tree that this place is about."""
        return str(self.where.about["tree"])

    @property
    def visit(self) -> str | None:
        """The visit that was begun here, also before a restart, or that is gone on with."""
        return self.where.draft.get("visit") or self.where.about.get("visit")

    def touch(self, touch: Callable[[T], Any]) -> None:
        """Record one touch; shown when it is on disk."""
        hand = self.hand
        if hand is not None:
            self.ask(lambda _: hand.touch(touch), self._touched)

    def less(self) -> None:
        """−1; a touch like any other, which can be taken back too."""
        hand = self.hand
        if hand is not None:
            self.ask(lambda _: hand.minus_one(), self._touched)

    def do(self, work: Callable[[Any], Shown[V]]) -> None:
        """Something with the hand that records no touch; what it shows is told."""
        hand = self.hand
        if hand is not None:
            self.ask(lambda _: work(hand), self.take)

    def tell_again(self) -> None:
        """Read the tree anew."""
        self.do(lambda hand: hand.shown)

    def take(self, shown: Shown[V]) -> None:
        """Show what came back."""
        self.shown = shown
        self.hours.say_hours(shown)
        self.tell(shown)

    def lock(self) -> None:
        """Lock against rain and pocket, also over a restart."""
        lock(self)

    def _opened(self, opened: tuple[TreeAtHand[T, V], Shown[V]]) -> None:
        self.hand, shown = opened
        self.build()
        self.take(shown)
        lock_as_left(self)

    def _touched(self, touched: Touched[V]) -> None:
        visit = touched.shown.view.at.visit
        if visit != self.visit:
            self.keep(visit=visit)
        self.hours.touched(touched.idle_minutes)
        self.take(touched.shown)
        if touched.sentence:
            self.recorded(touched.sentence, touched.take_back)

    # ------------------------------------------------------------ lines
    def when_line(self, shown: Shown[V]) -> WhenLine:
        """When it is, or was."""
        at = shown.view.at
        return WhenLine(
            self,
            lambda _: self.again(),
            visit_of=lambda: self.hand.visit.visit if self.hand else None,
            where={"tree": at.tree.tree},
            recorded=at.when if at.visit else None,
        )

    def other_tree(self, shown: Shown[V]) -> list[Widget]:
        """*This was another tree*, once something is recorded."""
        return (
            [Row(say("This was another tree"), self._ask_other, sign="tree")] if shown.view.at.visit else []
        )

    def declared(self, declared: Declared) -> None:
        """Trees were declared untreated."""

        def undo(store: Store) -> None:
            for record in declared.records:
                store.undo(record)

        self.recorded(" ".join([say("Noted as left untreated."), *declared.notes]), undo)
        self.tell_again()

    def _ask_other(self) -> None:
        find_tree(self, self._move, say("Which tree was it?"), without=self.tree)

    def _move(self, tree: str) -> None:
        visit, here = self.hand.visit.visit if self.hand else None, self.tree
        if visit is None or self.shown is None:
            return
        label, along = self.shown.view.at.tree.label, self.goes_along()

        def move(store: Store) -> None:
            move_to_tree(store, visit, tree, say("It was another tree."))

        def undo(store: Store) -> None:
            move_to_tree(store, visit, here, say("It was this tree after all."))

        def moved(_: object) -> None:
            self.instead(self.name, tree=tree, visit=visit, **along)
            there = say("This visit was moved here from tree {tree}.", tree=label)
            self.recorded(there, undo, lambda: self.instead(self.name, tree=here, visit=visit, **along))

        self.ask(move, moved)

    # ------------------------------------------------------------ done
    def _done(self) -> None:
        hand = self.hand
        if hand is not None:
            self.ask(lambda _: hand.minutes_without_touch(), self._end_or_ask)

    def _end_or_ask(self, idle_minutes: int) -> None:
        if idle_minutes:
            self.lay(idle_at_end(idle_minutes, self._end))
        else:
            self._end(Idle.WORKED)

    def _end(self, idle: Idle) -> None:
        hand = self.hand
        if hand is not None:
            self.ask(lambda _: hand.done(idle), self.ended)

    def ended(self, left: Left) -> None:
        """The visit is ended: on to the next tree in walking order."""
        if left.visit is not None:
            self.say_ended(left)
        self.go_to_next(left)

    def say_ended(self, left: Left) -> None:
        """Say so; undone, the visit goes on."""
        tree, visit, along = self.tree, str(left.visit), self.goes_along()

        def again() -> None:
            self.frame.go(self.name, tree=tree, visit=visit, **along)

        self.recorded(left.sentence, take_back_end(visit), again)

    def go_to_next(self, left: Left) -> None:
        """The next tree in place of this one; after the last, the list."""
        if left.next_tree is None:
            self.go(self.list_name)
        else:
            self.instead(self.name, tree=left.next_tree.tree, **self.goes_along())


def _with_what_it_shows(hand: TreeAtHand[T, V]) -> tuple[TreeAtHand[T, V], Shown[V]]:
    return hand, hand.shown

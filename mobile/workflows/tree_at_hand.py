"""One tree at hand, whatever it is visited for: touches that can be taken back, hours, a pause, and on to the next.

Offers `TreeAtHand`, which `bags_at_hand` and `fruit_at_hand` are made on. Used by one thread. Knows no screen.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Generic, Protocol, TypeVar

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import undo
from mobile.workflows.moments import NOW, Told, now
from mobile.workflows.people import name_of
from mobile.workflows.tree_list import TreeLine
from mobile.workflows.tree_rounds import plan_in_words, tree_after
from mobile.workflows.tree_visit import IDLE_MINUTES, AtTree, Idle, TreeVisit
from mobile.workflows.visit_hours import Hours, hours_of, open_again
from shared_models.language import say
from shared_models.records.tallies import Visit


class OfTree(Protocol):
    """The view of any visit to a tree."""

    @property
    def at(self) -> AtTree:
        """The tree, and the visit once it is begun."""


T = TypeVar("T", bound=TreeVisit)
V = TypeVar("V", bound=OfTree)
TakeBack = Callable[[PhoneStore], None]


@dataclass(frozen=True, slots=True)
class Shown(Generic[V]):
    """What a screen shows: the view, hours, the plan for the tree, who is at it; since when a pause runs."""

    view: V
    hours: Hours | None
    plan: str
    who: str
    by_me: bool
    paused_since: str | None


@dataclass(frozen=True, slots=True)
class Touched(Generic[V]):
    """A touch that was recorded, in a sentence (empty where nothing was), and how it is taken back.

    `idle_minutes` is how long nothing was touched before it, where that was long enough to ask; else 0.
    """

    shown: Shown[V]
    sentence: str
    take_back: TakeBack
    idle_minutes: int


@dataclass(frozen=True, slots=True)
class Left:
    """A tree that is left: its visit and the sentence (None and empty where nothing was recorded), the next tree."""

    visit: str | None
    sentence: str
    next_tree: TreeLine | None


class TreeAtHand(Generic[T, V]):
    """The visit, a pause that runs, and what is known of the tree beside it."""

    def __init__(
        self, store: PhoneStore, visit: T, told: Told = NOW, paused_since: str | None = None
    ) -> None:
        self._store, self._told, self._paused_since = store, told, paused_since
        self.visit = visit
        self._plan = plan_in_words(store, visit.tree.tree)

    # ------------------------------------------------------------ what each kind of visit says for itself
    def view(self) -> V:
        """The tree as it is now."""
        raise NotImplementedError

    def in_words(self, view: V) -> str:
        """What is recorded of the tree, in a sentence."""
        raise NotImplementedError

    def less(self) -> Shown[V]:
        """−1: take back the newest mark that was made by itself on this phone."""
        raise NotImplementedError

    def _as_before(self, before: V) -> None:
        """Take back a touch that made no record of its own."""
        raise NotImplementedError

    # ------------------------------------------------------------ touches
    def _made(self) -> str | None:
        """The record that the newest touch made, and forget it."""
        made, self.visit.made = self.visit.made, None
        return made

    @property
    def shown(self) -> Shown[V]:
        """Everything that a screen shows."""
        view = self.view()
        me = self._store.identity.person if self._store.identity else ""
        record = self._store.get(Visit, view.at.visit) if view.at.visit else None
        person = record.person if record else self._told.done_by or me
        hours = hours_of(self._store, view.at.visit)
        who = name_of(self._store, person)
        return Shown(view, hours, self._plan, who, person == me, self._paused_since)

    def touch(self, touch: Callable[[T], Any]) -> Touched[V]:
        """Record one touch; ends a pause that runs."""
        before, idle = self.view(), self.minutes_without_touch()
        stood = self._stands()
        self._end_pause()
        self._made()
        touch(self.visit)
        shown = self.shown
        take_back = self._taking_back(before, stood, self._made())
        return Touched(shown, self.in_words(shown.view), take_back, idle)

    def minus_one(self) -> Touched[V]:
        """−1, which is a touch as well: taken back, the mark is there again. No sentence where there was no mark."""
        visit = self.visit.visit
        newest = self._store.newest_own_mark(visit) if visit else None
        shown = self.less()
        if newest is None:
            return Touched(shown, "", lambda _: None, 0)
        sentence = say("{what} One was taken back.", what=self.in_words(shown.view))
        return Touched(shown, sentence, lambda store: store.redo(newest), 0)

    def _taking_back(self, before: V, stood: bool, made: str | None) -> TakeBack:
        rec = made if stood else self.visit.visit  # a visit that began with the touch goes with it
        if rec is None:
            return lambda _: self._as_before(before)

        def take_back(store: PhoneStore) -> None:
            undo(store, rec)

        return take_back

    def _stands(self) -> bool:
        return self.visit.visit is not None and self._store.get(Visit, self.visit.visit) is not None

    # ------------------------------------------------------------ hours
    def pause(self) -> Shown[V]:
        """Hold the hours from now on; does nothing before the first touch."""
        if self._stands() and self._paused_since is None:
            self._paused_since = now(self._store)
        return self.shown

    def go_on(self) -> Shown[V]:
        """End the pause that runs."""
        self._end_pause()
        return self.shown

    def was_away(self, minutes: int) -> Shown[V]:
        """Take minutes without a touch out of the hours."""
        self.visit.pause(minutes)
        return self.shown

    def minutes_without_touch(self) -> int:
        """How long nothing was touched, where that is long enough to ask about; else 0."""
        at = self.visit.at_tree
        return 0 if self._paused_since or at.idle_minutes < IDLE_MINUTES else at.idle_minutes

    def done(self, idle: Idle = Idle.WORKED) -> Left:
        """End the visit; a tree that was only looked at is simply left."""
        after = tree_after(self._store, self.visit.tree.tree)
        if not self._stands():
            return Left(None, "", after)
        self._end_pause()
        self.visit.end(idle)
        return Left(self.visit.visit, say("{what} Done.", what=self.in_words(self.view())), after)

    def _end_pause(self) -> None:
        since, self._paused_since = self._paused_since, None
        if since is not None and self._stands():
            held = self._store.now() - datetime.fromisoformat(since)
            self.visit.pause(max(0, int(held.total_seconds() // 60)))


def standing(store: PhoneStore, visit: str | None) -> str | None:
    """The visit that is gone on with; None where it was undone meanwhile, so that another begins."""
    return visit if visit and store.get(Visit, visit) is not None else None


def take_back_end(visit: str) -> TakeBack:
    """Open a visit again that was ended."""
    return lambda store: open_again(store, visit)

"""The hours of a visit on a screen: one line, the question after a while without a touch, a pause, and mending them."""

from collections.abc import Callable
from typing import Any, Protocol

from kivy.uix.widget import Widget

from mobile.screens.where import Where
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.notices import Notice
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from mobile.workflows.asking import Store, Work
from mobile.workflows.tree_at_hand import Shown, TreeAtHand
from mobile.workflows.tree_visit import Idle
from mobile.workflows.visit_hours import Hours, clock_time, hours_as_now, mend_hours
from shared_models.errors import BadInputError
from shared_models.language import say


class OfOneTree(Protocol):
    """What the line asks of the screen that it stands on."""

    where: Where
    shown: Shown[Any] | None
    hand: TreeAtHand[Any, Any] | None

    @property
    def visit(self) -> str | None:
        """The visit that was begun."""

    def lay(self, sheet: Sheet) -> None:
        """Lay a sheet over the screen."""

    def keep(self, **typed: Any) -> None:
        """Save with the place."""

    def ask(self, work: Work[Any], then: Callable[[Any], Any]) -> None:
        """Have work done."""

    def do(self, work: Callable[[Any], Shown[Any]]) -> None:
        """Something with the hand."""

    def take(self, shown: Shown[Any]) -> None:
        """Show what came back."""

    def tell_again(self) -> None:
        """Read the tree anew."""

    def recorded(self, sentence: str, undo: Work[Any] | None = None) -> None:
        """Say what was recorded and offer to undo it."""


class HoursLine(Row):
    """Since when, and how long; a touch pauses or mends. A pause that runs is kept with the place."""

    def __init__(self, screen: OfOneTree) -> None:
        super().__init__("", self._ask, sign="clock")
        self._screen = screen
        self._idle = 0

    def say_hours(self, shown: Shown[Any]) -> None:
        """The words of now."""
        self.text = shown.hours.sentence if shown.hours else say("The hours begin with the first touch.")

    def touched(self, idle_minutes: int) -> None:
        """A touch was recorded: it ended a pause, or a long silence."""
        self._idle = idle_minutes or self._idle
        self._no_longer_paused()

    @property
    def asks(self) -> tuple[int, bool]:
        """What there is to ask, to see whether that changed."""
        return self._idle, bool(self._screen.where.draft.get("paused"))

    def questions(self) -> list[Widget]:
        """What has to be answered: a pause that runs, or whether a silence was work."""
        asked: list[Widget] = []
        if self._screen.where.draft.get("paused"):
            asked.append(Notice(say("The hours are held."), Action(say("Go on"), self._go_on)))
        if self._idle:
            asked.append(_was_idle(self._idle, self._worked, self._was_away))
        return asked

    # ------------------------------------------------------------ answers
    def _ask(self) -> None:
        shown = self._screen.shown
        if shown is not None and shown.hours is not None and shown.view.at.visit:
            self._screen.lay(_hours_sheet(shown.hours, self._pause, self._mend))

    def _mend(self, work: Callable[[Store, str], Hours | None]) -> None:
        visit = self._screen.visit
        if visit is not None:
            self._screen.ask(lambda store: (hours_as_now(store, visit), work(store, visit)), self._mended)

    def _mended(self, mended: tuple[Work[None], Hours | None]) -> None:
        put_back, hours = mended
        self._screen.recorded(say("Hours: {hours}", hours=hours.sentence if hours else ""), put_back)
        self._screen.tell_again()

    def _pause(self) -> None:
        hand = self._screen.hand
        if hand is not None:
            self._screen.ask(lambda _: hand.pause(), self._paused)

    def _paused(self, shown: Shown[Any]) -> None:
        self._screen.keep(paused=shown.paused_since)
        self._screen.take(shown)

    def _go_on(self) -> None:
        self._no_longer_paused()
        self._screen.do(lambda hand: hand.go_on())

    def _no_longer_paused(self) -> None:
        if self._screen.where.draft.get("paused"):
            self._screen.keep(paused=None)

    def _worked(self) -> None:
        self._idle = 0
        self._screen.tell_again()

    def _was_away(self) -> None:
        minutes, self._idle = self._idle, 0
        hand = self._screen.hand
        if hand is not None:
            self._mend(lambda _, __: hand.was_away(minutes).hours)


def _was_idle(minutes: int, worked: Callable[[], Any], away: Callable[[], Any]) -> Notice:
    """Asked after the touch that ended a long silence; the touch itself is recorded already."""
    return Notice(
        say("{minutes} minutes passed without a touch. Were you at work?", minutes=minutes),
        Action(say("Yes, they count"), worked, bold=False),
        Action(say("No, take them out"), away, bold=False),
    )


def idle_at_end(minutes: int, then: Callable[[Idle], Any]) -> Sheet:
    """Asked before a visit ends after a long silence."""

    def answer(idle: Idle) -> None:
        sheet.close()
        then(idle)

    sheet = Sheet(
        say("Until when did you work?"),
        Words(say("{minutes} minutes passed without a touch.", minutes=minutes)),
        Action(say("Until now"), lambda: answer(Idle.WORKED)),
        Action(say("Until the last touch"), lambda: answer(Idle.AWAY)),
    )
    return sheet


def _hours_sheet(
    hours: Hours, pause: Callable[[], Any], mend: Callable[[Callable[[Store, str], Hours]], Any]
) -> Sheet:
    """Pause now, or mend when it began and how long the pauses were."""
    began = TextField(say("Began at"), hours.began or "")
    pauses = NumberField(say("Pauses in all, in minutes"), str(hours.pause_minutes))

    def hold() -> None:
        sheet.close()
        pause()

    def keep() -> None:
        try:
            minutes, at = pauses.whole(), clock_time(began.text)
        except BadInputError as error:
            began.error = str(error) if error.field == "when" else ""
            return
        changed = at if began.text != (hours.began or "") else None
        sheet.close()
        mend(lambda store, visit: mend_hours(store, visit, began=changed, pause_minutes=minutes))

    sheet = Sheet(
        say("Hours of this visit"),
        Words(hours.sentence),
        *([Action(say("Pause from now on"), hold)] if hours.running else []),
        began,
        pauses,
        Primary(say("Mend the hours"), keep),
    )
    return sheet

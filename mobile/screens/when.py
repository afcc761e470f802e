"""*When?*, for any screen: a line that says when something was, and the sheet behind it. Records nothing by itself.

To use it on a screen whose visit is made by touches:

    told = told_of(self.where)                          # Told: now, or what was answered before, also after a restart
    hand = BaggingVisit(store, tree, told)              # goes on with the unfinished visit of that moment
    WhenLine(self, self._told, visit_of=lambda: hand.visit, where={"tree": tree})

Before the first touch the answer is only kept, and `then` (here `self._told`) shows the screen anew: `self.again()`.
Where `visit_of` names a visit that was recorded already, that visit is given the moment first, with a bar to undo it.
A screen that records by one button leaves `visit_of` out and uses `told_of(self.where)` when it records:
`WhenLine(self)` keeps the answer and changes its own words. `ask_when(self, then, …)` opens the sheet without a line.
On a walk the answer goes on to the next place: `self.instead("trap", trap=…, **as_about(told_of(self.where)))`.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from mobile.screens.screen import Screen
from mobile.screens.when_sheet import WhenSheet, season_sheet
from mobile.screens.where import Where
from mobile.widgets.buttons import Row
from mobile.workflows.asking import Store, Work
from mobile.workflows.moments import NOW, Told
from mobile.workflows.when_told import Answered, answer_to, offered, tell_when, told_in_words
from shared_models.entries import Fields
from shared_models.language import say

Then = Callable[[Told], Any]


def told_of(where: Where) -> Told:
    """What was answered at this place, or told when coming here: moment, season, person; now, where nothing was."""
    told = where.about | where.draft
    return Told(told.get("when"), told.get("done_by"), told.get("season"))


def as_about(told: Told) -> dict[str, str]:
    """The same answer, as plain arguments for the next place of a walk."""
    parts = {"when": told.when, "done_by": told.done_by, "season": told.season}
    return {name: text for name, text in parts.items() if text is not None}


class WhenLine(Row):
    """Says when; a touch asks anew. `then` is told the answer, once it is kept.

    `recorded` is the moment of a visit that is on disk already, and is what is shown then.
    """

    def __init__(
        self,
        screen: Screen,
        then: Then | None = None,
        *,
        visit_of: Callable[[], str | None] = lambda: None,
        where: Fields | None = None,
        recorded: str | None = None,
        **given: Any,
    ) -> None:
        super().__init__("", self._ask, **{"sign": "clock", **given})
        self._screen, self._then, self._visit_of, self._about = screen, then, visit_of, where
        self._say(replace(told_of(screen.where), when=recorded) if recorded else told_of(screen.where))

    def _ask(self) -> None:
        ask_when(self._screen, self._answered, self._about)

    def _answered(self, told: Told) -> None:
        visit, told = self._visit_of(), replace(told, done_by=told_of(self._screen.where).done_by)
        if visit is None:
            self._keep(told)
        else:
            self._screen.ask(lambda store: tell_when(store, visit, told), lambda old: self._moved(told, old))

    def _moved(self, told: Told, before: Told) -> None:
        visit, answered_before = self._visit_of(), told_of(self._screen.where)
        self._keep(told)

        def undo(store: Store) -> None:
            tell_when(store, str(visit), before)

        sentence = say("This was: {when}.", when=told_in_words(told))
        self._screen.recorded(sentence, undo, lambda: self._keep(answered_before))

    def _keep(self, told: Told) -> None:
        self._screen.keep(when=told.when, season=told.season)
        self._say(told)
        if self._then is not None:
            self._then(told)

    def _say(self, told: Told) -> None:
        self.text = say("When? {when}", when=told_in_words(told))


def ask_when(screen: Screen, then: Then, where: Fields | None = None) -> None:
    """Ask when something was. `where` names garden, tree, trees or trap, so that its season is known or asked for."""

    def take(moment: Work[str | None]) -> None:
        screen.ask(lambda store: answer_to(store, Told(moment(store)), where), answered)

    def answered(answer: Answered) -> None:
        screen.close_sheets()
        if answer.seasons:
            screen.lay(season_sheet(answer.seasons, lambda season: then(replace(answer.told, season=season))))
        else:
            then(NOW if answer.told.when is None else answer.told)

    screen.ask(offered, lambda offer: screen.lay(WhenSheet(offer, take)))

"""The sheet of *when?*: five answers, and a page behind those that need a time or a day. Asks no store.

An answer is work on the store that gives the moment (None is now), so that the phone's own clock and zone are used.
"""

from collections.abc import Callable, Sequence
from datetime import date, time
from functools import partial
from typing import Any

from mobile.screens.day_field import DayField, this_day
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Stepper
from mobile.widgets.columns import Line
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Work
from mobile.workflows.moments import NOT_KNOWN, between_days, earlier_today, on_day
from mobile.workflows.when_told import Offered
from shared_models.language import say

Take = Callable[[Work[str | None]], Any]


class WhenSheet(Sheet):
    """`take` is told the answer; the sheet stays until whoever asked closes it."""

    def __init__(self, offered: Offered, take: Take) -> None:
        super().__init__(say("When was it?"))
        self._offered, self._take = offered, take
        self.paper.column.fill(heading(say("When was it?")), *self._answers())

    def _answers(self) -> list[Action]:
        given: list[tuple[str, str, Callable[[], Any]]] = [
            (say("Now"), self._offered.now, lambda: self._take(lambda _: None)),
            (say("Earlier today"), say("at a time"), self._earlier_today),
            (say("A day"), say("yesterday, or longer ago"), self._a_day),
            (say("Between two days"), say("some time since a day"), self._first_of_two),
            (say("Don't know"), "", lambda: self._take(lambda _: NOT_KNOWN)),
        ]
        return [Action(text, then, second=second, middle=False) for text, second, then in given]

    def _turn(self, title: str, *content: Any) -> None:
        self.paper.fill(heading(title), *content, Action(say("Another answer"), self._begin_again))

    def _begin_again(self) -> None:
        self.paper.fill(heading(say("When was it?")), *self._answers())

    # ------------------------------------------------------------ a time of today
    def _earlier_today(self) -> None:
        self._at = Primary("", self._keep_time)
        self._hour = Stepper(self._offered.hour, lambda _: self._tell_time(), most=23)
        self._minute = Stepper(self._offered.minute, lambda _: self._tell_time(), most=55, step=5)
        self._tell_time()
        self._turn(
            say("At what time today?"),
            Words(say("Hour")),
            self._hour,
            Words(say("Minute")),
            self._minute,
            self._at,
        )

    def _tell_time(self) -> None:
        self._at.text = say("It was at {time}", time=f"{self._time():%H:%M}")

    def _time(self) -> time:
        return time(int(self._hour.value), int(self._minute.value))

    def _keep_time(self) -> None:
        at = self._time()
        self._take(lambda store: earlier_today(store, at))

    # ------------------------------------------------------------ days
    def _a_day(self) -> None:
        self._ask_day(say("Which day?"), self._offered.yesterday, self._on_day)

    def _on_day(self, day: date) -> None:
        self._take(lambda store: on_day(store, day))

    def _first_of_two(self) -> None:
        note = say("The first day on which it may have been; the last one comes next.")
        self._ask_day(say("Not before which day?"), self._offered.week_ago, self._last_of_two, note)

    def _last_of_two(self, first: date) -> None:
        note = say("The last day on which it may have been.")
        self._ask_day(
            say("Not after which day?"), max(first, self._offered.today), partial(self._between, first), note
        )

    def _between(self, first: date, last: date) -> None:
        self._take(lambda store: between_days(store, first, last))

    def _ask_day(self, title: str, day: date, then: Callable[[date], Any], note: str = "") -> None:
        field = DayField(day, last=self._offered.today)
        self._turn(title, *([small(note)] if note else []), field, this_day(field, then))


def season_sheet(seasons: Sequence[str], then: Callable[[str | None], Any]) -> Sheet:
    """Which season something belongs to, where its date does not tell."""
    sheet = Sheet(say("Which season was it?"))

    def take(season: str | None) -> None:
        sheet.close()
        then(season)

    sheet.paper.column.add_widget(
        small(say("The date does not tell it, and without a season it stands in no comparison."))
    )
    sheet.paper.column.add_widget(Action(say("Don't know that either"), lambda: take(None), bold=False))
    sheet.paper.column.add_widget(Line(*(Action(season, partial(take, season)) for season in seasons)))
    return sheet

"""Choosing a day: by steps of a day and a week, which a glove can do, or typed; by itself or on a sheet. Knows no record."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from mobile.theme import BODY
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.columns import Column, Line
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from mobile.workflows.spoken_moments import day_with_year
from mobile.workflows.when_told import day_typed
from shared_models.errors import BadInputError
from shared_models.language import say


class DayField(Column):
    """Shows a day; never goes beyond `last`."""

    def __init__(self, day: date, last: date) -> None:
        super().__init__()
        self.day, self._last = day, last
        self._words = Words("", points=BODY + 2, bold=True, halign="center")
        self._typed = TextField(say("Or typed, such as 2026-05-17"), then=self._read)
        self.fill(
            self._words,
            Line(self._step(say("A week earlier"), -7), self._step(say("A week later"), 7)),
            Line(self._step(say("A day earlier"), -1), self._step(say("A day later"), 1)),
            self._typed,
        )
        self._tell()

    def taken(self) -> date:
        """The day that was chosen; BadInputError, also shown below, where what is typed is none."""
        if self._typed.text:
            try:
                self.day = day_typed(self._typed.text)
            except BadInputError as error:
                self._typed.error = str(error)
                raise
        return self.day

    def _step(self, words: str, days: int) -> Action:
        return Action(words, lambda: self._go(days), bold=False)

    def _go(self, days: int) -> None:
        self.day = min(self._last, self.day + timedelta(days=days))
        self._typed.text = ""
        self._tell()

    def _read(self, text: str) -> None:
        try:
            self.day = day_typed(text)
        except BadInputError:
            return  # not typed to its end yet
        self._tell()

    def _tell(self) -> None:
        self._words.text = day_with_year(self.day)


def this_day(field: DayField, then: Callable[[date], Any]) -> Primary:
    """The button that takes the day of a field."""

    def keep() -> None:
        try:
            chosen = field.taken()
        except BadInputError:
            return  # the field says it
        then(chosen)

    return Primary(say("This day"), keep)


def day_sheet(title: str, day: date, last: date, then: Callable[[date], Any]) -> Sheet:
    """A sheet that asks for a day."""
    field = DayField(day, last)

    def take(chosen: date) -> None:
        sheet.close()
        then(chosen)

    sheet = Sheet(title, field, this_day(field, take))
    return sheet

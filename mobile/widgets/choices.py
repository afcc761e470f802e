"""Choosing: one of several, on or off, one step more or less. Knows no record."""

from collections.abc import Callable, Sequence
from typing import Any, Generic, TypeVar

from kivy.properties import BooleanProperty, NumericProperty

from mobile.theme import TITLE, theme
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Column, Line
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words

C = TypeVar("C")


class Option(Touchable):
    """One answer; the chosen one has a filled ring and a strong edge, not colour alone."""

    chosen = BooleanProperty(False)

    def __init__(self, text: str, **given: Any) -> None:
        super().__init__(text, **{"edge_role": "line", "sign": "open", **given})
        self.bind(chosen=self.tell)
        self.tell()

    def tell(self, *_: object) -> None:
        """The ring says whether it is chosen."""
        self.sign = "chosen" if self.chosen else "open"
        self.edge_role, self.edge_width = ("ink", 3) if self.chosen else ("line", 1.5)
        self.bold = self.chosen
        super().tell()


class Choice(Column, Generic[C]):
    """One of several, one below the other: pairs of value and words. `chosen` is the value, None for no answer yet.

    `then` is told the value that was touched; what is shown changes when `chosen` is set.
    """

    def __init__(
        self,
        options: Sequence[tuple[C, str]],
        then: Callable[[C], Any],
        chosen: C | None = None,
        **given: Any,
    ) -> None:
        super().__init__(**given)
        self._then = then
        self._options: list[tuple[C, Option]] = []
        for value, words in options:
            option = Option(words)
            option.then = lambda value=value: self._take(value)
            self._options.append((value, option))
            self.add_widget(option)
        self.chosen = chosen

    @property
    def chosen(self) -> C | None:
        """The answer that is shown."""
        return next((value for value, option in self._options if option.chosen), None)

    @chosen.setter
    def chosen(self, wanted: C | None) -> None:
        for value, option in self._options:
            option.chosen = value == wanted

    def _take(self, value: C) -> None:
        self.chosen = value
        self._then(value)


class OnOff(Touchable):
    """On or off, said in words. `then` is told what it is after the touch."""

    on = BooleanProperty(False)

    def __init__(self, text: str, then: Callable[[bool], Any], on: bool = False, **given: Any) -> None:
        super().__init__(text, lambda: self._turn(then), **{"edge_role": "line", "on": on, **given})
        self.bind(on=self.tell)
        self.tell()

    def tell(self, *_: object) -> None:
        """A done sign and a strong edge where it is on."""
        self.sign_after = "done" if self.on else ""
        self.edge_role, self.edge_width = ("ink", 3) if self.on else ("line", 1.5)
        self.bold = self.on
        super().tell()

    def _turn(self, then: Callable[[bool], Any]) -> None:
        self.on = not self.on
        then(self.on)


class Stepper(Line):
    """A number between − and +, never beyond `least` and `most`. `then` is told the new number."""

    value = NumericProperty(0)

    def __init__(
        self, value: int, then: Callable[[int], Any], *, least: int = 0, most: int = 999, step: int = 1
    ) -> None:
        self._less = Action("", lambda: self._go(-step), sign="less", size_hint_x=None, width=theme.gap(9))
        self._more = Action("", lambda: self._go(step), sign="more", size_hint_x=None, width=theme.gap(9))
        self._number = Words(str(value), points=TITLE, bold=True, halign="center", pos_hint={"center_y": 0.5})
        self._least, self._most, self._then = least, most, then
        super().__init__(self._less, self._number, self._more)
        self.bind(value=self._tell)
        self.value = value

    def _go(self, by: int) -> None:
        wanted = min(self._most, max(self._least, int(self.value) + by))
        if wanted != self.value:
            self.value = wanted
            self._then(wanted)

    def _tell(self, *_: object) -> None:
        self._number.text = str(int(self.value))

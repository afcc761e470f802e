"""Anything that is pressed: a sign, words, a second line, on a painted ground. Knows no screen.

`then` is called when it was touched, by a finger, by Enter or by a number key. It grows with its words and is never
lower than `least` [dp].
"""

from collections.abc import Callable
from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.theme import BODY, LEAST, SMALL, theme
from mobile.widgets.columns import Column
from mobile.widgets.painted import Painted
from mobile.widgets.sign import Sign
from mobile.widgets.words import Words

Then = Callable[[], Any]


class Touchable(ButtonBehavior, Painted, BoxLayout):
    """`text`, `second` (a smaller line), `sign` (before) and `sign_after`; roles of ground and ink for rest and press."""

    text = StringProperty("")
    second = StringProperty("")
    sign = StringProperty("")
    sign_after = StringProperty("")
    least = NumericProperty(LEAST)
    points = NumericProperty(BODY)
    bold = BooleanProperty(False)
    middle = BooleanProperty(False)  # words stand in the middle instead of at the left
    upright = BooleanProperty(False)  # the sign stands above the words instead of before them
    ink_role = StringProperty("ink")
    rest_role = StringProperty("raised")
    press_role = StringProperty("pressed")

    def __init__(self, text: str = "", then: Then | None = None, **given: Any) -> None:
        given = {
            "size_hint_y": None,
            "spacing": theme.gap(),
            "padding": [theme.gap(1.5), theme.gap(0.5)],
            **given,
        }
        self.then = then
        super().__init__(text=text, **given)
        self._sign = Sign(pos_hint={"center_x": 0.5} if self.upright else {"center_y": 0.5})
        self._after = Sign(side=22, pos_hint={"center_y": 0.5})
        self._words = Words(text)
        self._second = Words("", points=SMALL)
        self._column = Column(spacing=0, pos_hint={"center_y": 0.5})
        parts = ("text", "second", "sign", "sign_after", "points", "bold", "middle", "ink_role", "rest_role")
        self.bind(**dict.fromkeys(parts, self.tell))
        self.bind(minimum_height=self._grow, least=self._grow, state=self._press, disabled=self.tell)
        theme.follow(self._grow)
        self.tell()

    def tell(self, *_: object) -> None:
        """Show what the properties say."""
        self._sign.name, self._after.name = self.sign, self.sign_after
        self._words.text, self._second.text = self.text, self.second
        self._words.points, self._words.bold = self.points, self.bold
        self._sign.size_hint_x = None if self.text or self.upright else 1
        ink = "quiet" if self.disabled else self.ink_role
        self._words.role = self._sign.role = self._after.role = ink
        self._second.role = "quiet" if ink == "ink" else ink
        self._words.halign = self._second.halign = "center" if self.middle else "left"
        arrange(self._column, self.stacked())
        arrange(self, self.beside())
        self._press()
        self._grow()

    def stacked(self) -> list[Widget]:
        """What stands one below the other in the middle."""
        sign = [self._sign] if self.upright and self.sign else []
        return [*sign, *([self._words] if self.text else []), *([self._second] if self.second else [])]

    def beside(self) -> list[Widget]:
        """What stands side by side."""
        sign = [self._sign] if self.sign and not self.upright else []
        column = [self._column] if self._column.children else []
        return [*sign, *column, *([self._after] if self.sign_after else [])]

    def act(self) -> None:
        """Do what a touch does."""
        if self.then is not None and not self.disabled:
            self.then()

    def on_release(self) -> None:
        """A finger left it again."""
        self.act()

    def _press(self, *_: object) -> None:
        self.ground_role = self.press_role if self.state == "down" else self.rest_role

    def _grow(self, *_: object) -> None:
        if self.size_hint_y is None:
            self.height = max(dp(self.least), self.minimum_height)


def arrange(box: Widget, parts: list[Widget]) -> None:
    """Let a box hold these, in this order; nothing is laid out anew where it does already."""
    if box.children[::-1] != parts:
        box.clear_widgets()
        for part in parts:
            box.add_widget(part)

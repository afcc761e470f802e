"""The pad that counts: as large as a thumb in a glove, acts when the finger comes down. Knows no number's meaning."""

from typing import Any

from kivy.core.text import Label as Measured
from kivy.metrics import dp
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.widget import Widget

from mobile.theme import BODY, HUGE, LEAST_KEY, LEAST_PAD, TITLE, theme
from mobile.widgets.columns import Line
from mobile.widgets.touchable import Then, Touchable, arrange
from mobile.widgets.words import Words

HIGHEST = 90  # [dp] a figure of a number; with it a pad is as low as a pad may be


class Downright(Touchable):
    """Acts when the finger comes down, not when it leaves: a wet thumb slides, and the count must not wait for it."""

    def on_press(self) -> None:
        """A finger came down."""
        self.act()

    def on_release(self) -> None:
        """Nothing more."""


class Pad(Downright):
    """A full-width pad with a huge `number`, what one touch adds (`text`), and a line under it (`second`)."""

    number = StringProperty("")

    def __init__(self, text: str, then: Then, **given: Any) -> None:
        look = {
            "least": LEAST_PAD,
            "rest_role": "accent",
            "press_role": "accent_pressed",
            "ink_role": "accent_ink",
            "points": TITLE,
            "bold": True,
        }
        super().__init__(text, then, **{**look, **given})
        self._number = Words("", points=HUGE, bold=True, role=self.ink_role, size_hint_x=0.8, halign="center")
        self._number.pos_hint = {"center_y": 0.5}
        self.bind(number=self.tell)
        self._number.bind(width=self._fit)
        self.tell()

    def tell(self, *_: object) -> None:
        """The number in figures that fit."""
        if hasattr(self, "_number"):
            self._number.text = self.number
            self._fit()
        super().tell()

    def _fit(self, *_: object) -> None:
        """As large as the place allows, and never so high that the pad would push other things away."""
        whole = Measured(text=self.number, font_size=theme.type(HUGE), bold=True)
        wide = whole.get_extents(self.number)[0] if self.number else 0
        high = HIGHEST / (HUGE * theme.type_size)
        self._number.points = HUGE * min(1, high, (self._number.width - dp(2)) / wide if wide else 1)

    def beside(self) -> list[Widget]:
        """The number left, what a touch does right."""
        number = [self._number] if hasattr(self, "_number") else []
        return [*number, *super().beside()]


class Key(Downright):
    """One key of a field: a drawn sign, a word and its `count`, one below the other.

    `sign_side` [dp] is how large the sign is drawn; 0 goes with the height of the key.
    """

    count = StringProperty("")
    sign_side = NumericProperty(0)

    def __init__(self, text: str, then: Then, **given: Any) -> None:
        look = {
            "least": LEAST_KEY,
            "edge_role": "line",
            "middle": True,
            "upright": True,
            "points": BODY - 2,
        }
        super().__init__(text, then, **{**look, "spacing": 0, "padding": [theme.gap(0.5)] * 2, **given})
        self._sign.size_hint_x = 1
        self._count = Words("", points=TITLE, bold=True, halign="center")
        self._above = Line(spacing=theme.gap(0.5))
        self.bind(count=self.tell)
        self.tell()

    def tell(self, *_: object) -> None:
        """The count beside the sign."""
        if hasattr(self, "_above"):
            self._count.text, self._count.role = self.count, self.ink_role
            self._sign.side, self._sign.size_hint_x = self.sign_side or self.least / 3, 1
            arrange(
                self._above, [*([self._sign] if self.sign else []), *([self._count] if self.count else [])]
            )
        super().tell()
        self._sign.size_hint_x = 1

    def stacked(self) -> list[Widget]:
        """Sign and count above, word below."""
        return [self._above, self._words] if hasattr(self, "_above") else []

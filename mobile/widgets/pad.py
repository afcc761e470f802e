"""The pad that counts: as large as a thumb in a glove, acts when the finger comes down. Knows no number's meaning."""

from typing import Any

from kivy.properties import StringProperty

from mobile.theme import BODY, HUGE, LEAST_KEY, LEAST_PAD, TITLE, theme
from mobile.widgets.columns import Column
from mobile.widgets.sign import Sign
from mobile.widgets.touchable import Then, Touchable
from mobile.widgets.words import Words


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
        self._number = Words("", points=HUGE, bold=True, role=self.ink_role, size_hint_x=0.5, halign="center")
        self._number.pos_hint = {"center_y": 0.5}
        self.bind(number=self.tell)
        self.tell()

    def tell(self, *_: object) -> None:
        """The number left, what a touch does right."""
        super().tell()
        if hasattr(self, "_number"):
            self._number.text, self._number.points = self.number, HUGE if len(self.number) < 4 else HUGE * 0.6
            self.add_widget(self._number, index=len(self.children))


class Key(Downright):
    """One key of a field: a drawn sign, a word and its `count`, one below the other."""

    count = StringProperty("")

    def __init__(self, text: str, then: Then, **given: Any) -> None:
        look = {
            "least": LEAST_KEY,
            "edge_role": "line",
            "middle": True,
            "orientation": "vertical",
            "points": BODY - 2,
        }
        super().__init__(text, then, **{**look, "spacing": 0, "padding": [theme.gap(0.5)] * 2, **given})
        self.bind(count=self.tell)
        self.tell()

    def tell(self, *_: object) -> None:
        """Sign and count above, word below."""
        if self._words.parent is not None:
            self._words.parent.remove_widget(self._words)
        super().tell()
        self.clear_widgets()
        above = Column(orientation="horizontal", spacing=theme.gap(0.5))
        sign = Sign(self.sign, side=32, role=self._sign.role, size_hint_x=1)
        above.fill(*([sign] if self.sign else []), *self._counted())
        self.add_widget(above)
        self._words.size_hint_x = 1
        self.add_widget(self._words)

    def _counted(self) -> list[Words]:
        if not self.count:
            return []
        return [Words(self.count, points=TITLE, bold=True, halign="center", role=self.ink_role)]

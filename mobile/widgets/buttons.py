"""Buttons and rows of a list. Know no screen.

`Action` does something; `Primary` is the one thing to do next; `Row` is a line of a list that leads somewhere.
"""

from typing import Any

from kivy.properties import StringProperty

from mobile.widgets.touchable import Then, Touchable


class Action(Touchable):
    """Does something, on a ground with an edge."""

    def __init__(self, text: str, then: Then, **given: Any) -> None:
        super().__init__(text, then, **{"edge_role": "line", "middle": True, "bold": True, **given})


class Primary(Touchable):
    """The one thing to do next; at most one on a screen."""

    def __init__(self, text: str, then: Then, **given: Any) -> None:
        look = {
            "rest_role": "accent",
            "press_role": "accent_pressed",
            "ink_role": "accent_ink",
            "middle": True,
            "bold": True,
        }
        super().__init__(text, then, **{**look, **given})
        self.bind(disabled=self._rest)
        self._rest()

    def _rest(self, *_: object) -> None:
        """Without its colour while it cannot be touched: quiet words cannot be read on it."""
        self.rest_role = "raised" if self.disabled else "accent"


class Row(Touchable):
    """A line of a list: what it is, a smaller line about it, a sign before it; leads somewhere."""

    name = StringProperty("")  # what the row stands for, such as a record's id

    def __init__(self, text: str = "", then: Then | None = None, **given: Any) -> None:
        super().__init__(text, then, **{"sign_after": "on", **given})

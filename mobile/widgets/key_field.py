"""A field of large keys that always stand in the same places. Knows no fruit."""

from collections.abc import Sequence
from typing import Any

from kivy.metrics import dp
from kivy.uix.gridlayout import GridLayout

from mobile.theme import theme
from mobile.widgets.pad import Key


class KeyField(GridLayout):
    """Keys in rows, all of one size, each at least 96 dp; `across` keys in a row."""

    def __init__(self, keys: Sequence[Key], across: int = 3, **given: Any) -> None:
        given = {"cols": across, "spacing": theme.gap(), "size_hint_y": None, **given}
        super().__init__(row_force_default=True, **given)
        self.keys = tuple(keys)
        for key in keys:
            key.size_hint_y = 1
            key.bind(minimum_height=self._grow)
            self.add_widget(key)
        self.bind(minimum_height=self.setter("height"))
        self._grow()

    def _grow(self, *_: object) -> None:
        self.row_default_height = max(max(dp(key.least), key.minimum_height) for key in self.keys)

"""A key that does one thing when struck and another when held. Knows no fruit."""

from typing import Any

from kivy.clock import Clock

from mobile.widgets.pad import Key
from mobile.widgets.touchable import Then

HELD_S = 0.6  # [s] longer than any strike in series, shorter than patience (common practice)


class HeldKey(Key):
    """Struck, it calls `then` as the finger leaves, even where a wet thumb slid off; held, it calls `held` meanwhile."""

    def __init__(self, text: str, then: Then, held: Then, **given: Any) -> None:
        super().__init__(text, then, **{"always_release": True, **given})
        self._held, self._was_held = held, False
        self._waiting = Clock.create_trigger(self._hold, HELD_S)

    def on_press(self) -> None:
        """A finger came down: wait whether it stays."""
        self._was_held = False
        self._waiting()

    def on_release(self) -> None:
        """It left again."""
        self._waiting.cancel()
        if not self._was_held:
            self.act()

    def _hold(self, *_: object) -> None:
        self._was_held = True
        if not self.disabled:
            self._held()

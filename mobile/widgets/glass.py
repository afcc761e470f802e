"""The glass over everything: one finger counts, and what bounces is dropped. Knows no screen.

A wet thumb or a drop of rain makes second touches and touches that flicker. Every real touch is taken; dropped is only
what comes down again at the same place sooner than a finger can.
"""

from typing import Any

from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.input.motionevent import MotionEvent
from kivy.metrics import dp
from kivy.uix.floatlayout import FloatLayout

BOUNCE_S = 0.060  # [s] no thumb lifts and strikes again so soon (common practice)
SAME_PLACE = 32  # [dp]
# [s] After such a frame touches arrive in a heap, and their distance in time says nothing.
LATE_FRAME_S = 0.040


class Glass(FloatLayout):
    """The root of the window."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self._finger: Any = None
        self._left_at, self._left_pos = -1.0, (0.0, 0.0)

    def on_touch_down(self, touch: MotionEvent) -> bool:
        """Hand on the first finger only."""
        if self._is_second(touch) or self._is_bounce(touch):
            return True
        self._finger = touch
        return bool(super().on_touch_down(touch))

    def on_touch_move(self, touch: MotionEvent) -> bool:
        """Follow the finger that counts."""
        return bool(super().on_touch_move(touch)) if touch is self._finger else True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        """The finger that counts leaves."""
        if touch is not self._finger:
            return True
        self._finger = None
        self._left_at, self._left_pos = Clock.time(), touch.pos
        return bool(super().on_touch_up(touch))

    def _is_second(self, touch: MotionEvent) -> bool:
        # A touch whose end never came (the app was put aside meanwhile) must not lock the glass for ever.
        return self._finger is not None and self._finger in EventLoop.touches and touch is not self._finger

    def _is_bounce(self, touch: MotionEvent) -> bool:
        if Clock.frametime > LATE_FRAME_S:
            return False
        away = max(abs(touch.x - self._left_pos[0]), abs(touch.y - self._left_pos[1]))
        return bool(Clock.time() - self._left_at < BOUNCE_S and away < dp(SAME_PLACE))

"""The lock against rain and pocket: covers the window until two places far apart are touched one after the other."""

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.input.motionevent import MotionEvent
from kivy.metrics import dp

from mobile.theme import COLUMN, LEAST_KEY
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Column
from mobile.widgets.sheet import Sheet
from mobile.widgets.sign import Sign
from mobile.widgets.words import Words
from shared_models.language import say

WITHIN_S = 3.0  # [s] for the second touch; drops that run down the glass seldom hit both so soon (judgment)


class Lock(Sheet):
    """`opened` is called when somebody really wants to go on. A touch anywhere else does nothing."""

    def __init__(self, opened: Callable[[], Any]) -> None:
        self._opened = opened
        look = {"size_hint": (None, None), "least": LEAST_KEY, "width": dp(136)}
        self._first = Action(say("1: here"), self._touch_first, pos_hint={"x": 0.02, "y": 0.02}, **look)
        self._second = Action(
            say("2: then here"),
            self._touch_second,
            disabled=True,
            pos_hint={"right": 0.98, "top": 0.98},
            **look,
        )
        super().__init__("")
        self.paper.fill(
            Column(Sign("lock", side=64, size_hint_x=1)),
            Words(say("Locked against rain and pocket. Nothing counts until it is opened."), halign="center"),
        )
        self.add_widget(self._first)
        self.add_widget(self._second)
        self._too_late = Clock.create_trigger(self._lock_again, WITHIN_S)

    def on_touch_down(self, touch: MotionEvent) -> bool:
        """Nothing below is touched, and a touch beside the two places does nothing."""
        for key in (self._first, self._second):
            if key.collide_point(*touch.pos):
                key.dispatch("on_touch_down", touch)
        return True

    def _touch_first(self) -> None:
        self._second.disabled = False
        self._too_late.cancel()
        self._too_late()

    def _touch_second(self) -> None:
        self._too_late.cancel()
        self.close()
        self._opened()

    def _lock_again(self, *_: object) -> None:
        self._second.disabled = True

    def _place(self, *_: object) -> None:
        self._over.pos, self._over.size = self.pos, self.size
        self.paper.width = min(self.width, dp(COLUMN))
        self.paper.height = self.height
        self.paper.column.padding = [dp(16), self.height * 0.3, dp(16), dp(16)]

"""Moving with a keyboard: Tab and arrows from one thing to the next, Enter touches it, Escape goes back, numbers count.

Knows the frame and what can be touched, no screen in particular.
"""

from collections.abc import Iterator

from kivy.core.window import Window
from kivy.uix.widget import Widget

from mobile.screens.frame import Frame
from mobile.widgets.columns import Scroll
from mobile.widgets.fields import Typed
from mobile.widgets.touchable import Touchable

ESCAPE, TAB, ENTER, PAD_ENTER = 27, 9, 13, 271
UP, DOWN, RIGHT, LEFT = 273, 274, 275, 276
ZERO, PAD_ZERO = 48, 256


class Keyboard:
    """Listens to the window's keys on behalf of a frame."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self._lit: Touchable | Typed | None = None
        Window.bind(on_keyboard=self._pressed)

    def release(self) -> None:
        """Listen no more."""
        Window.unbind(on_keyboard=self._pressed)

    def _pressed(self, _window: object, key: int, _code: object, _text: object, held: list[str]) -> bool:
        if key == ESCAPE:
            self._light(None)
            return self._frame.back()
        if key in (TAB, UP, DOWN, LEFT, RIGHT):
            self._move(-1 if key in (UP, LEFT) or "shift" in held else 1)
            return True
        if key in (ENTER, PAD_ENTER):
            return self._enter()
        return self._number(key)

    def _number(self, key: int) -> bool:
        digit = next((key - zero for zero in (ZERO, PAD_ZERO) if 0 <= key - zero <= 9), None)
        typing = any(isinstance(widget, Typed) and widget.focus for widget in self._frame.walk())
        if digit is None or typing or self._frame.screen is None or self._frame.sheet is not None:
            return False
        self._frame.screen.number_key(digit)
        return True

    def _enter(self) -> bool:
        lit = self._lit
        if isinstance(lit, Touchable) and lit in list(self._reachable()):
            lit.act()
            return True
        if isinstance(lit, Typed):
            self._move(1)
            return True
        return False

    def _move(self, by: int) -> None:
        things = list(self._reachable())
        focused = next((thing for thing in things if isinstance(thing, Typed) and thing.focus), None)
        at = focused or self._lit
        if things:
            place = (things.index(at) + by) if at in things else (0 if by > 0 else -1)
            self._light(things[place % len(things)])

    def _light(self, thing: Touchable | Typed | None) -> None:
        if self._lit is not None:
            self._lit.lit = False
            if isinstance(self._lit, Typed):
                self._lit.focus = False
        self._lit = thing
        if thing is None:
            return
        thing.lit = True
        if isinstance(thing, Typed):
            thing.focus = True
        _scroll_to(thing)

    def _reachable(self) -> Iterator[Touchable | Typed]:
        """From top to bottom, of the sheet alone where one lies over the screen."""
        found = [
            widget
            for widget in (self._frame.sheet or self._frame).walk(restrict=True)
            if isinstance(widget, Touchable | Typed) and widget.height and not widget.disabled
        ]
        return iter(found)


def _scroll_to(thing: Widget) -> None:
    parent = thing.parent
    while parent is not None and parent is not parent.parent:
        if isinstance(parent, Scroll):
            parent.scroll_to(thing, padding=16, animate=False)
            return
        parent = parent.parent

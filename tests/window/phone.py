"""A phone in a test: opens an app in the real window, draws frames when told to, taps, types, looks at pixels.

The only place that uses private names of Kivy (`App._run_prepare`, `App._running_app`), which is why pyproject.toml
pins Kivy to the version they were read in. Time stands still between frames: a wait of seconds costs nothing.
"""

from __future__ import annotations

import gc
import itertools
import time
from collections.abc import Callable
from pathlib import Path

from kivy.app import App
from kivy.base import EventLoop, runTouchApp
from kivy.clock import Clock
from kivy.core.image import Image
from kivy.core.window import Window
from kivy.input.motionevent import MotionEvent
from kivy.uix.widget import Widget

from mobile.widgets.columns import Scroll
from mobile.widgets.fields import TextField, Typed
from mobile.widgets.long_list import LongList
from mobile.widgets.touchable import Touchable
from tests.window.offscreen import SIZE

FRAME = 1 / 60  # [s]
HANDED_ON = 0.22  # [s] what scrolls waits 0.2 s until it hands on a touch that was shorter than three frames
KEYS = {"tab": 9, "enter": 13, "escape": 27, "up": 273, "down": 274, "right": 275, "left": 276}
Pixel = tuple[int, int, int]  # red, green, blue, 0 to 255


class Finger(MotionEvent):
    """One finger, from touching the glass to leaving it; positions in window pixels from the lower left."""

    _numbers = itertools.count(1)

    def __init__(self, x: float, y: float) -> None:
        super().__init__("finger", next(self._numbers), _share(x, y), is_touch=True, type_id="touch")

    def depack(self, args: dict[str, float]) -> None:
        """Take over a position, as Kivy asks every kind of touch to do."""
        self.profile = ["pos"]
        self.sx, self.sy = args["x"], args["y"]
        super().depack(args)

    def down(self) -> None:
        """Touch the glass."""
        EventLoop.post_dispatch_input("begin", self)

    def slide_to(self, x: float, y: float) -> None:
        """Move on the glass."""
        self.move(_share(x, y))
        EventLoop.post_dispatch_input("update", self)

    def up(self) -> None:
        """Leave the glass."""
        EventLoop.post_dispatch_input("end", self)


class Phone:
    """The one window of the test process, and time that passes frame by frame."""

    def __init__(self) -> None:
        self.now = 1000.0  # [s] what Kivy's clock shows; animations, timeouts and scrolling all follow it
        self.app: App | None = None
        self.touches = self.letters = 0  # since the app was opened; bringing into sight is a touch too
        Clock.time = lambda: self.now
        self.frames(1)  # from here on the clock's last tick is of this time too

    def open(self, app: App, size: tuple[int, int] = SIZE) -> None:
        """Start an app as `App.run` does, less its endless loop."""
        self._resize(size)
        self.app, self.touches, self.letters = app, 0, 0
        app._run_prepare()
        if EventLoop.status != "started":
            runTouchApp(embedded=True)  # once a process; returns
        self.frames(4)

    def close(self) -> None:
        """End the app and empty the window; never `App.stop`, which would end the event loop for all later tests."""
        if self.app is None:
            return
        for widget in list(Window.children):
            Window.remove_widget(widget)
        Window.canvas.before.clear()
        Window.canvas.after.clear()
        EventLoop.touches.clear()
        self.frames(
            3, 100.0
        )  # what still waits for its time holds on to the app, and reads it: let it happen now
        self.app.dispatch("on_stop")
        App._running_app = None
        self.app = None
        gc.unfreeze()  # an app freezes what it began with, since it ends with its process; here it does not
        gc.collect()

    def frames(self, count: int = 3, seconds: float = FRAME) -> None:
        """Let time pass and draw, `count` times."""
        for _ in range(count):
            self.now += seconds
            EventLoop.idle()

    def wait(self, seconds: float) -> None:
        """Let this much of the app's time pass, frame by frame of a tenth of a second."""
        self.frames(max(1, round(seconds / 0.1)), 0.1)

    def until(self, reached: Callable[[], object], seconds: float = 20) -> None:
        """Draw frames until something is so, such as the worker's answer; gives up after real `seconds`."""
        end = time.monotonic() + seconds
        while not reached():
            if time.monotonic() > end:
                raise AssertionError(f"still not so after {seconds} s; shown is: {self.texts()}")
            self.frames(1)
            time.sleep(0.001)  # lets the worker's thread run

    def settle(self) -> None:
        """Draw until everything that was asked of the worker has been answered and shown."""
        answered: list[object] = []
        assert self.app is not None
        # Short work may lead to more of it, and to long work, not the other way round.
        for ask in (self.app.ask, self.app.ask, self.app.ask, self.app.ask_long):
            answered.clear()
            ask(lambda _: None, answered.append, answered.append)
            self.until(lambda: answered)
        self.frames(3)

    def texts(self) -> list[str]:
        """Every text that is shown, from top to bottom."""
        return [widget.text for widget in shown(Window) if getattr(widget, "text", "")]

    def sees(self, text: str) -> bool:
        """Whether a text is shown somewhere, alone or as part of another."""
        return any(text in shown_text for shown_text in self.texts())

    def find(self, text: str) -> Widget:
        """What can be touched and shows this text: exactly, else as part of what it shows."""
        self._bring(text)
        there = [widget for widget in shown(Window) if isinstance(widget, Touchable | Typed)]
        for fits in (str.__eq__, str.__contains__):
            for widget in there:
                if any(fits(one, text) for one in _told_by(widget)):
                    return widget
        raise AssertionError(f"nothing to touch shows {text!r}; shown is: {self.texts()}")

    def touch(self, text: str) -> None:
        """Touch what shows this text, scrolling to it where needed, and wait for what follows."""
        widget = self.find(text)
        self.reach(widget)
        self.tap(widget)
        self.settle()

    def reach(self, widget: Widget) -> None:
        """Scroll until a widget is in sight, as a finger would."""
        parent = widget.parent
        while parent is not None and parent is not parent.parent:
            if isinstance(parent, Scroll):
                before = parent.scroll_y
                parent.scroll_to(widget, padding=8, animate=False)
                self.frames(2)
                self.touches += parent.scroll_y != before
                return
            parent = parent.parent

    def _bring(self, text: str) -> None:
        """Scroll a long list to the row that shows this text; only rows in sight are widgets."""
        for listed in (widget for widget in shown(Window) if isinstance(widget, LongList)):
            places = [place for place, row in enumerate(listed.rows) if text in (row.text, row.second)]
            if places and len(listed.rows) > 1:
                self.touches += places[0] > 0
                listed.scroll_y = 1 - places[0] / (len(listed.rows) - 1)
                self.frames(4)

    def fill(self, question: str, text: str) -> None:
        """Type into the field below a question, in place of what stood there."""
        field = next(
            field for field in shown(Window) if isinstance(field, TextField) and question in _told_by(field)
        )
        self.reach(field.typed)
        self.tap(field.typed)
        self.touches += bool(field.typed.text)  # what stands there is marked first
        field.typed.select_all()
        field.typed.delete_selection()
        self.type(text)
        self.settle()

    def key(self, name: str, *held: str) -> None:
        """Press a key of a keyboard: tab, enter, escape, up, down, or a digit."""
        code = KEYS[name] if name in KEYS else ord(name)
        if not Window.dispatch("on_key_down", code, 0, None, list(held)):
            Window.dispatch("on_keyboard", code, 0, None, list(held))
        Window.dispatch("on_key_up", code, 0)
        self.frames(2)

    def tap(self, widget: Widget, hold: float = 0.08) -> None:
        """Touch the middle of a widget for `hold` seconds."""
        self.touches += 1
        finger = Finger(*widget.to_window(*widget.center))
        finger.down()
        self.frames(1, hold)
        finger.up()
        self.frames(2, HANDED_ON / 2)

    def swipe(self, start: tuple[float, float], end: tuple[float, float], steps: int = 6) -> None:
        """Draw a finger across the glass."""
        self.touches += 1
        finger = Finger(*start)
        finger.down()
        for step in range(1, steps + 1):
            share = step / steps
            finger.slide_to(
                start[0] + (end[0] - start[0]) * share,
                start[1] + (end[1] - start[1]) * share,
            )
            self.frames(1)
        finger.up()
        self.frames(2)

    def type(self, text: str) -> None:
        """Type into whatever has the focus."""
        self.letters += len(text)
        for letter in text:
            Window.dispatch("on_textinput", letter)
        self.frames(2)

    def picture(self, path: Path) -> Path:
        """Save what the window shows as a PNG of exactly this name."""
        path.parent.mkdir(parents=True, exist_ok=True)
        path.unlink(missing_ok=True)
        Window.canvas.ask_update()
        self.frames(1)
        numbered = Path(Window.screenshot(name=str(path)))  # Kivy puts a number of its own before the ending
        return numbered.rename(path)

    def turn(self, size: tuple[int, int]) -> None:
        """Turn the phone, or draw its window to another size."""
        self._resize(size)
        self.frames(8)

    def _resize(self, size: tuple[int, int]) -> None:
        if tuple(Window.size) != size:
            Window.size = size
            self.frames(2)
            Window.trigger_create_window.cancel()  # off screen it would ask to be made again in every frame


def pixel_of(picture: Path, x: int, y: int) -> Pixel:
    """The colour of one pixel of a saved picture, from the lower left as in the window."""
    image = Image(str(picture), keep_data=True, nocache=True)
    red, green, blue = image.read_pixel(x, image.height - 1 - y)[:3]
    return round(red * 255), round(green * 255), round(blue * 255)


def shown(top: Widget) -> list[Widget]:
    """All widgets below one that are in the window, from top to bottom."""
    found: list[Widget] = []
    for child in reversed(top.children):
        found += [child, *shown(child)]
    return found


def _told_by(widget: Widget) -> list[str]:
    """The texts of a widget and of what it is made of."""
    return [text for one in (widget, *shown(widget)) if (text := getattr(one, "text", ""))]


def _share(x: float, y: float) -> dict[str, float]:
    """A position as Kivy's input wants it: as shares of the window."""
    return {"x": x / max(1, Window.width - 1), "y": y / max(1, Window.height - 1)}

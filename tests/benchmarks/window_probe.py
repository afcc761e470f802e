"""A window in a process of its own that prints what it measured as JSON: `python -m tests.benchmarks.window_probe WHAT …`.

`since` is the monotonic clock of whoever started it [s], so that Python's own start counts. Floors know no Pomeward.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.window import offscreen

SIZE = (360, 640)
SCROLLED_FRAMES = 120
TOUCHES = 200
REDRAWS = 300
REFRESH = 1 / 60  # [s]


def bare_first_frame(since: str) -> float:
    """Until a window with one label has drawn a frame [ms]."""
    return _until(_bare(), float(since), lambda app: True)


def first_frame(since: str, folder: str) -> float:
    """Until the app has drawn its first frame [ms]."""
    _as_in_hand()
    return _until(_app(folder), float(since), lambda app: True)


def saved_screen(since: str, folder: str) -> float:
    """Until the screen that was saved can be touched [ms]."""
    _as_in_hand()
    return _until(_app(folder), float(since), lambda app: _pad(app) is not None)


def first_mark(since: str, folder: str) -> float:
    """Until a touch at the first moment where one is possible is on disk and its number is shown [ms]."""
    _as_in_hand()
    touched: list[str] = []

    def counted(app: Any) -> bool:
        pad = _pad(app)
        if pad is None:
            return False
        if not touched:
            touched.append(pad.number)
            pad.act()
        return bool(pad.number != touched[0])

    return _until(_app(folder), float(since), counted)


def bare_memory() -> float:
    """A window with one label beside sqlmodel and httpx, after as many frames as the app's [MB]."""
    _until(_bare(), 0, _redrawn(lambda app: True))
    import httpx
    import sqlmodel

    assert httpx and sqlmodel
    return _megabytes()


def memory(folder: str) -> float:
    """The app at the screen that was saved, with every other screen loaded too [MB]."""
    _as_in_hand()
    _until(_app(folder), 0, _redrawn(lambda app: _pad(app) is not None and _all_loaded()))
    return _megabytes()


def _redrawn(reached: Callable[[Any], bool]) -> Callable[[Any], bool]:
    """Reached, and the window drawn so often that a renderer in software has all the memory it keeps for itself."""
    left = [REDRAWS]

    def often(app: Any) -> bool:
        from kivy.core.window import Window

        Window.canvas.ask_update()  # else a frame in which nothing changed is not drawn
        left[0] -= reached(app)
        return left[0] <= 0

    return often


def _all_loaded() -> bool:
    from mobile.screens.places import SCREENS

    return all(where.partition(":")[0] in sys.modules for where in SCREENS.values())


def touches(folder: str) -> list[float]:
    """From a finger on the pad to the end of the frame that shows the new number [ms]."""
    phone, app = _phone_at(folder)
    taken: list[float] = []
    seen = _seen_on(lambda: _pad(app))
    for _ in range(TOUCHES):
        before, began = seen[-1], time.perf_counter()
        _pad(app).act()
        while seen[-1] == before:
            _frame_in_time(phone)
        taken.append((time.perf_counter() - began) * 1e3)
        phone.frames(3)
    return taken


def _seen_on(pad: Callable[[], Any]) -> list[str]:
    """The figures on a pad, in each frame that goes onto the glass: those that were drawn, not those that were set."""
    from kivy.core.window import Window

    seen = [pad().number]
    Window.bind(on_flip=lambda *_: seen.append(pad()._number._label.text))
    return seen


def writes(folder: str) -> list[float]:
    """What such a touch writes, without a window [ms]."""
    from mobile.settings import FILE
    from mobile.storage.phone_store import PhoneStore
    from mobile.workflows.trap_round import TrapRound

    store = PhoneStore(Path(folder) / FILE)
    place = store.place()
    assert place is not None
    hand, taken = TrapRound(store).open(place["here"]["about"]["trap"]), []
    for _ in range(TOUCHES):
        began = time.perf_counter()
        hand.plus_one()
        taken.append((time.perf_counter() - began) * 1e3)
    store.close()
    return taken


def two_frames(folder: str) -> list[float]:
    """Two frames of the same window, each with another number on the pad [ms]."""
    phone, app = _phone_at(folder)
    taken = []
    for _ in range(TOUCHES):
        began = time.perf_counter()
        for number in (10, 11):
            _pad(app).number = str(number)
            _frame_in_time(phone)
        taken.append((time.perf_counter() - began) * 1e3)
    return taken


def scroll(rows: str) -> float:
    """Frames a second while a list of so many rows is drawn along."""
    phone, listed = _list_of(int(rows))
    began = time.perf_counter()
    for number in range(SCROLLED_FRAMES):
        listed.scroll_y = 1 - number * 40 / (int(rows) * 72)  # 40 px a frame, as a quick finger does it
        phone.frames(1)
    return SCROLLED_FRAMES / (time.perf_counter() - began)


def _frame_in_time(phone: Any) -> None:
    """Draw, then wait for the next screen refresh, as a loop in the hand does; a loop that never waits starves the rest."""
    ended = time.perf_counter() + REFRESH
    phone.frames(1)
    time.sleep(max(0.0, ended - time.perf_counter()))


def _list_of(rows: int) -> tuple[Any, Any]:
    offscreen.prepare()
    from kivy.app import App

    from mobile.widgets.long_list import Listed, LongList
    from tests.window.phone import Phone

    lines = [Listed(str(n), f"Tree {n}", f"Early Red · bagged on day {n % 90}", "tree") for n in range(rows)]
    phone, app = Phone(), App()
    app.root = LongList(lambda name: None, lines)
    phone.open(app, SIZE)
    phone.frames(10)
    return phone, app.root


def _phone_at(folder: str) -> tuple[Any, Any]:
    offscreen.prepare()
    from tests.window.phone import Phone

    phone, app = Phone(), _app(folder)
    phone.open(app, SIZE)
    phone.until(lambda: _pad(app) is not None)
    phone.settle()
    return phone, app


def _bare() -> Any:
    _as_in_hand()
    from kivy.app import App
    from kivy.uix.label import Label

    class Bare(App):
        def build(self) -> Label:
            return Label(text="bare")

    return Bare()


def _app(folder: str) -> Any:
    from mobile.app import PomewardApp
    from mobile.settings import Settings

    return PomewardApp(Settings(Path(folder), "phone"))


def _pad(app: Any) -> Any:
    """The pad of the screen that is shown."""
    from mobile.widgets.pad import Pad

    screen = app.frame.screen
    pads = [widget for widget in screen.walk() if isinstance(widget, Pad)] if screen is not None else []
    return pads[0] if pads else None


def _as_in_hand() -> None:
    """A loop that sleeps between frames, as on a phone; without that it takes all time from the other threads."""
    offscreen.prepare()
    from kivy.config import Config

    Config.set("graphics", "maxfps", "60")


def _until(app: Any, since: float, reached: Callable[[Any], bool]) -> float:
    """Run the app's own loop until something is so when a frame was drawn [ms since `since`]."""
    from kivy.core.window import Window

    ended: list[float] = []

    def drawn(*_: object) -> None:
        if not ended and reached(app):
            ended.append(time.monotonic())
            app.stop()

    Window.bind(on_flip=drawn)
    app.run()
    return (ended[0] - since) * 1e3


def _megabytes() -> float:
    """The most that this process held; what `getrusage` tells counts the process that started it too."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM:")) / 1024


if __name__ == "__main__":
    print(json.dumps(globals()[sys.argv[1]](*sys.argv[2:])))

"""A phone that is used without rest until it is killed: `python -m tests.window.restless FOLDER SEED`.

Writes lines of JSON: what is shown once it is open (`opened`), what it is about to do (`touching`), what is shown once
that stands on the glass (`shown`). Whoever kills it opens the next one on the same folder and compares.
"""

from __future__ import annotations

import json
import random
import sys
import time
from pathlib import Path
from typing import Any

from tests.window import offscreen

OFTEN_ELSEWHERE = 5  # one in so many acts leads to another place


def main(folder: str, seed: str, *places: str) -> None:
    """Act at random for ever. `places` are `screen:argument:value`."""
    offscreen.prepare()
    restless = Restless(Path(folder), random.Random(int(seed)), [place.split(":") for place in places])
    restless.tell("opened", restless.state())
    while True:
        restless.act()


class Restless:
    """The app, and somebody who touches whatever counts."""

    def __init__(self, folder: Path, chance: random.Random, places: list[list[str]]) -> None:
        from mobile.app import PomewardApp  # after Kivy is prepared
        from mobile.settings import Settings
        from tests.window.phone import Phone

        self.phone, self.app = Phone(), PomewardApp(Settings(folder, "phone"))
        self._chance, self._places = chance, places
        self.phone.open(self.app, (360, 640))
        self.phone.until(lambda: self.app.frame.screen is not None)
        self.phone.settle()

    def act(self) -> None:
        """One touch, one letter or one way to another place."""
        counters = self._counters()
        if not counters or self._chance.randrange(OFTEN_ELSEWHERE) == 0:
            self._go_elsewhere()
        else:
            self._count(self._chance.choice(counters))
        self.phone.wait(0.1)  # the glass rests for a moment, as between two touches
        self.tell("shown", self.state())
        time.sleep(self._chance.choice((0, 0, 0.1)))

    def state(self) -> dict[str, Any]:
        """Where it is, what every pad and key shows, what is typed."""
        from kivy.core.window import Window

        from mobile.widgets.fields import Typed
        from tests.window.phone import shown

        here = self.app.frame.way.here
        of = {name: value for name, value in here.about.items() if name in ("trap", "tree")}
        numbers = {widget.text: _number_of(widget) for widget in self._counters()}
        typed = [widget.text for widget in shown(Window) if isinstance(widget, Typed)]
        return {"screen": here.screen, "of": of, "numbers": numbers, "typed": typed}

    def tell(self, what: str, about: dict[str, Any]) -> None:
        """One line, out at once."""
        print(json.dumps({"what": what, **about}), flush=True)

    def _go_elsewhere(self) -> None:
        screen, name, value = self._chance.choice(self._places)
        about = {name: value} if name else {}
        self.tell("touching", {"screen": screen, "of": about})
        self.app.frame.go(screen, **about)
        self.phone.settle()

    def _count(self, widget: Any) -> None:
        before = self.state()
        self.tell("touching", {"pad": widget.text})
        self.phone.tap(widget)
        self.phone.until(lambda: self.state() != before)
        self.phone.settle()

    def _counters(self) -> list[Any]:
        from kivy.core.window import Window

        from mobile.widgets.pad import Key, Pad
        from tests.window.phone import shown

        return [widget for widget in shown(Window) if isinstance(widget, Pad | Key) and not widget.disabled]


def _number_of(widget: Any) -> int:
    """What a pad or key counts; one that counts nothing yet shows none."""
    text = getattr(widget, "number", "") or getattr(widget, "count", "")
    return int(text) if isinstance(text, str) and text.isdigit() else 0


if __name__ == "__main__":
    main(*sys.argv[1:])

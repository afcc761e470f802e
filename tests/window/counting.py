"""A phone that counts moths until it is killed: `python -m tests.window.counting FOLDER TRAP`.

Prints each number once it is shown on the pad.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.window import offscreen


def main(folder: str, trap: str) -> None:
    """Touch the pad for ever."""
    offscreen.prepare()
    from mobile.app import PomewardApp  # after Kivy is prepared
    from mobile.settings import Settings
    from tests.window.phone import Phone

    phone, app = Phone(), PomewardApp(Settings(Path(folder), "phone"))
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    app.frame.go("trap", trap=trap)
    phone.settle()
    pad, shown = phone.find("+1 moth"), ""
    while True:
        phone.tap(pad)
        phone.until(lambda: pad.number != shown)  # noqa: B023 (called at once)
        shown = pad.number
        print(shown, flush=True)
        phone.wait(0.1)


if __name__ == "__main__":
    main(*sys.argv[1:])

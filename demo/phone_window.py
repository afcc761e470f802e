"""The phone's window on the records of the invented seasons: opened to be touched, or drawn off screen as pictures.

    python -m demo.phone_window DATA                    # a window, until it is closed
    python -m demo.phone_window DATA --pictures FOLDER  # one PNG for each main screen

Runs in a process of its own, since Kivy reads its settings when it is imported. Works on a copy of a phone's file, so
what is touched here changes nothing that the story checks.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime, timedelta
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from demo.environment import ROOT

SIZE = (412, 892)  # [dp] a middling phone
PATIENCE = 120  # seconds, on a slow machine; usually ten
LAST_DAY = datetime.fromisoformat("2026-10-13T10:00:00+02:00")  # the morning after everything was shared
MOTHS = 4  # counted for the picture of a trap


def copy_of_phone(file: Path, data: Path) -> Path:
    """A folder as the app wants it, with a copy of a phone's file in it."""
    from mobile.settings import FILE

    data.mkdir(parents=True, exist_ok=True)
    source, copy = sqlite3.connect(file), sqlite3.connect(data / FILE)
    with source, copy:
        source.backup(copy)
    source.close()
    copy.close()
    return data


def draw(data: Path, folder: Path) -> list[Path]:
    """Draw the main screens off screen; returns the pictures, none where this machine cannot."""
    if find_spec("kivy") is None:
        return []
    command = [sys.executable, "-m", "demo.phone_window", str(data), "--pictures", str(folder)]
    before = set(folder.glob("*.png"))
    began = time.time()
    try:
        subprocess.run(command, cwd=ROOT, capture_output=True, timeout=PATIENCE, check=True)
    except (subprocess.SubprocessError, OSError):
        return []
    made = set(folder.glob("*.png"))
    return sorted(file for file in made if file not in before or file.stat().st_mtime >= began)


@contextmanager
def opened(data: Path) -> Iterator[bool]:
    """The window in a process of its own until the block ends; False where there is no display or no Kivy."""
    from mobile.__main__ import window_can_open

    if not window_can_open():
        yield False
        return
    command = [sys.executable, "-m", "demo.phone_window", str(data)]
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(
        command, cwd=ROOT, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
    )
    try:
        yield True
    finally:
        process.terminate()
        try:
            process.wait(timeout=5)
        except subprocess.TimeoutExpired:  # it works on a copy: nothing is lost
            process.kill()
            process.wait()


def main(arguments: Sequence[str]) -> None:
    """Open or draw."""
    parser = argparse.ArgumentParser(prog="python -m demo.phone_window", description=__doc__)
    parser.add_argument("data", type=Path, help="the folder of a phone's data")
    parser.add_argument("--pictures", type=Path, metavar="FOLDER", help="draw pictures instead of opening")
    asked = parser.parse_args(arguments)
    if asked.pictures:
        _draw_here(asked.data, asked.pictures)
    else:
        _open_here(asked.data)


# ---------------------------------------------------------------- in the process of the window
def _open_here(data: Path) -> None:
    own = {
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_FILELOG": "1",
        "KIVY_LOG_MODE": "PYTHON",
        "KIVY_HOME": str(data / "kivy"),
    }
    os.environ.update(own)
    from kivy.core.window import Window

    Window.size = SIZE
    _app(data).run()


def _draw_here(data: Path, folder: Path) -> None:
    from tests.window import offscreen

    offscreen.prepare()
    from tests.window.phone import Phone

    screens = _screens(data)  # first: where the records cannot be read there is nothing to draw
    phone, app = Phone(), _app(data)
    phone.open(app, SIZE)
    phone.until(lambda: app.frame.screen is not None, PATIENCE)
    for name, about in screens:
        app.frame.go(name, **about)
        phone.settle()
        if name == "trap":
            for _ in range(MOTHS):
                phone.touch("+1 moth")
        phone.wait(2)  # the top line follows a second later
        phone.settle()
        phone.picture(folder / f"phone_{name}.png")
    phone.close()


def _app(data: Path) -> Any:
    from mobile.app import PomewardApp
    from mobile.settings import Settings

    return PomewardApp(Settings(data, "phone"), _clock())


def _clock() -> Callable[[], datetime]:
    began = time.monotonic()
    return lambda: LAST_DAY + timedelta(seconds=time.monotonic() - began)


def _screens(data: Path) -> list[tuple[str, dict[str, Any]]]:
    """The main screens that there are, with what they are about."""
    from mobile.screens.places import SCREENS
    from mobile.settings import FILE
    from mobile.storage.phone_store import PhoneStore
    from mobile.workflows.traps import traps_in_walking_order

    store = PhoneStore(data / FILE)
    trap = traps_in_walking_order(store)[0].trap
    store.close()
    season = {"season": "2026", "garden": None}
    wanted: list[tuple[str, dict[str, Any]]] = [
        ("today", {}),
        ("traps", {}),
        ("bags", {}),
        ("picking", {}),
        ("season", season),
        ("season_trees", season),
        ("trap", {"trap": trap}),  # last, since what is counted there is offered to be undone everywhere
    ]
    return [(name, about) for name, about in wanted if name in SCREENS]


if __name__ == "__main__":
    main(sys.argv[1:])

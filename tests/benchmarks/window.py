"""The window on a phone with a long history: its first frame, its first mark, a touch, memory, scrolling.

Every probe is a process of its own; floors are windows without any of Pomeward's code.
"""

import json
import os
import statistics
import subprocess
import sys
import time
from datetime import date
from pathlib import Path
from typing import Any

from mobile.settings import FILE
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.traps import hang_trap
from tests.benchmarks.big_season import fill_with_entries
from tests.benchmarks.measuring import Ratio, Times, at_least, at_most
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.sizes import Sizes

ROOT = Path(__file__).parents[2]
FLOOR_FRAMES = 40  # [frames/s] below it a list seems to stick (common practice)
ALLOWED_MB = 40
ONE_COPY = {"LP_NUM_THREADS": "0"}  # each thread of a renderer in software would keep a copy of what it draws
BARE = "floor: a window with one label, from the start of Python to its first frame"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """Where the saved screen is a trap and the log holds many entries."""
    phone = _old_phone(folder / "phone", sizes.old_phone)
    starts = [_starts(phone) for _ in range(rounds)]
    return [*_of_starts(starts), _memory(phone), *_touches(phone), _scrolling(sizes.rows)]


def _old_phone(folder: Path, entries: int) -> Path:
    folder.mkdir()
    fill_with_entries(folder / FILE, sealed_entries(entries))
    store = PhoneStore(folder / FILE)
    trap = hang_trap(store, "1", gardens(store)[0].rec, since=date(2026, 4, 20)).trap
    store.save_place({"here": {"screen": "trap", "about": {"trap": trap}, "draft": {}}, "behind": []})
    store.close()
    return folder


def _starts(phone: Path) -> dict[str, float]:
    probes = {"bare_first_frame": [], "first_frame": [phone], "saved_screen": [phone], "first_mark": [phone]}
    return {probe: _probe(probe, time.monotonic(), *given) for probe, given in probes.items()}


def _of_starts(starts: list[dict[str, float]]) -> list[Ratio]:
    targets = {"first_frame": at_most(1.5), "saved_screen": None, "first_mark": None}
    says = {
        "first_frame": "the app draws its first frame",
        "saved_screen": "the screen that was saved can be touched",
        "first_mark": "a touch made as soon as that screen is there is on disk and shown",
    }
    floor = statistics.median(start["bare_first_frame"] for start in starts)
    return [
        Ratio(
            name,
            floor,
            statistics.median(start[name] for start in starts),
            "ms",
            target,
            f"{says[name]}; {BARE}",
        )
        for name, target in targets.items()
    ]


def _memory(phone: Path) -> Ratio:
    note = (
        "most memory at the saved screen with every screen loaded, after some hundred frames; "
        f"floor: a bare window beside sqlmodel and httpx after as many, and {ALLOWED_MB} MB"
    )
    return Ratio(
        "memory", _probe("bare_memory") + ALLOWED_MB, _probe("memory", phone), "MB", at_most(1), note
    )


def _touches(phone: Path) -> list[Ratio]:
    two_frames, written, touches = (_probe(name, phone) for name in ("two_frames", "writes", "touches"))
    note = "from the finger to the frame with the new number; floor: two such frames, and the same writing without a window"
    floor = [one + other for one, other in zip(sorted(two_frames), sorted(written), strict=True)]
    times = Times(floor, touches)
    return [
        times.medians("touch", "ms", 1, None, note),
        times.slowest_in_hundred("touch_p99", "ms", 1, at_most(1), note),
    ]


def _scrolling(rows: int) -> Ratio:
    note = f"frames while a list of {rows} rows is drawn along, in software; floor: {FLOOR_FRAMES} a second"
    return Ratio("scroll", FLOOR_FRAMES, _probe("scroll", rows), "frames/s", at_least(1), note)


def _probe(name: str, *given: object) -> Any:
    command = [sys.executable, "-m", "tests.benchmarks.window_probe", name, *map(str, given)]
    environment = os.environ | {"PYTHONPATH": str(ROOT)} | (ONE_COPY if "memory" in name else {})
    done = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=300, check=True
    )
    return json.loads(done.stdout.splitlines()[-1])

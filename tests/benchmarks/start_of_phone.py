"""A phone's program from nothing to an open store with a long history, against importing sqlmodel alone."""

import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from mobile.settings import FILE
from tests.benchmarks.big_season import fill_with_entries
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Work, in_turns
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.sizes import Sizes

TURNS_A_ROUND = 3
IMPORT = "import sqlmodel"
START = """
from pathlib import Path
from mobile.bootstrap import started
from mobile.settings import Settings
with started(Settings(Path({folder!r}), "phone")) as phone:
    assert phone.store.identity
"""
NOTE = "a new Python opens a phone with a long history; floor: a new Python imports sqlmodel"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """How long a start takes, as a multiple of what it cannot do without."""
    fill_with_entries(folder / FILE, sealed_entries(sizes.old_phone))
    times = in_turns(_starts(folder, TURNS_A_ROUND * rounds))
    return [times.medians("start", "ms", MILLISECONDS, None, NOTE)]


def _starts(folder: Path, turns: int) -> Iterator[tuple[Work, Work]]:
    for _ in range(turns):
        yield partial(_python, IMPORT), partial(_python, START.format(folder=str(folder)))


def _python(program: str) -> None:
    subprocess.run([sys.executable, "-c", program], check=True)

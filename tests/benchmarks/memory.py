"""How much memory the server's process takes while phones push, pull and come together, and what stays of it.

The floor is the most that it may take, so that the ratio is the share of it that is taken.
"""

import resource
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.benchmarks.convergence import parted
from tests.benchmarks.crowd import crowd
from tests.benchmarks.measuring import Ratio, at_most
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import Servers, both_servers, pull, push_bodies
from tests.benchmarks.sizes import Sizes

MOST = 300.0  # MB
EVERY = 0.1  # seconds between two looks
NOTE = "resident memory of the server's process {when}; floor: the most that it may take"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The most of it during everything, and what is left at the end; of both, the worst of all rounds."""
    during: list[float] = []
    after: list[float] = []
    for number in range(rounds):
        here = folder / str(number)
        here.mkdir()
        for stage in (_pushed_and_pulled, _come_together):
            after.append(stage(sizes, here, during))
    return [
        Ratio(
            "memory_during", MOST, max(during), "MB", at_most(1), NOTE.format(when="while phones exchange")
        ),
        Ratio("memory_after", MOST, max(after), "MB", at_most(1), NOTE.format(when="once they have")),
    ]


def _pushed_and_pulled(sizes: Sizes, folder: Path, during: list[float]) -> float:
    """Both crowds push, then pages are pulled to the end; what is left."""
    with both_servers(folder / "crowds", sizes.many[0]) as servers, _watched(servers.real.process, during):
        pushed = sum(
            _push(servers, phones, batch, sizes.crowd_batches) for phones, batch in (sizes.few, sizes.many)
        )
        for page in sizes.pages:
            for since in range(0, pushed, page):
                pull(servers.pomeward, since, page, packed=True)
        return resident(servers.real.process)


def _push(servers: Servers, phones: int, batch: int, batches: int) -> int:
    bodies = push_bodies([one.body for one in sealed_entries(phones * batches * batch)], batch)
    with crowd(servers.pomeward, servers.tokens[:phones]) as callers:
        callers.push([bodies[phone::phones] for phone in range(phones)], [])
    return phones * batches * batch


def _come_together(sizes: Sizes, folder: Path, during: list[float]) -> float:
    """Phones come together after a time without a link; what is left."""
    with parted("pomeward", folder, sizes) as phones, _watched(phones.server.process, during):
        phones.come_together()
        return resident(phones.server.process)


def resident(process: int) -> float:
    """Resident memory of a process [MB], as Linux tells it, and elsewhere `ps`."""
    told = Path(f"/proc/{process}/statm")
    if told.exists():
        return int(told.read_text().split()[1]) * resource.getpagesize() / 1e6
    asked = ["ps", "-o", "rss=", "-p", str(process)]
    return int(subprocess.run(asked, check=True, capture_output=True, text=True).stdout) * 1024 / 1e6


@contextmanager
def _watched(process: int, seen: list[float]) -> Iterator[None]:
    """Look at a process again and again until the block ends."""
    over = threading.Event()

    def look() -> None:
        while True:
            seen.append(resident(process))
            if over.wait(EVERY):
                return

    looking = threading.Thread(target=look)
    looking.start()
    try:
        yield
    finally:
        over.set()
        looking.join()

"""A group's history in pages over real HTTP, against a plain SELECT and a join over the same HTTP."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from tests.benchmarks.measuring import MILLISECONDS, Ratio, Times, Work, at_least, at_most, in_turns
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import Servers, both_servers, pull, push, push_bodies
from tests.benchmarks.sizes import USUAL, Sizes

NOTE = "full pages of a history; floor: same uvicorn, SELECT, join"
PACKED = (
    "full pages of {page} packed by gzip and unpacked; floor: same uvicorn, SELECT, join, gzip of level 1"
)


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """Entries a second that a new phone gets."""
    with _filled(sizes, folder) as servers:
        times = in_turns(_pulls(servers, sizes.history, sizes.page, rounds))
    return [times.rates("pull", sizes.page, "entries/s", at_least(0.4), NOTE)]


def measure_packed(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The same packed, as phones ask for it, by pages of several sizes; and how long a page takes."""
    with _filled(sizes, folder) as servers:
        return [
            ratio
            for page in sizes.pages
            for ratio in _packed(in_turns(_pulls(servers, sizes.history, page, rounds, packed=True)), page)
        ]


def _packed(times: Times, page: int) -> Iterator[Ratio]:
    name, note = f"pull_packed_{page}", PACKED.format(page=page)
    yield times.rates(name, page, "entries/s", at_least(0.4), note)
    yield times.medians(f"{name}_p50", "ms a page", MILLISECONDS, at_most(2.5), note)
    yield times.slowest_in_hundred(f"{name}_p99", "ms a page", MILLISECONDS, at_most(2.5), note)


@contextmanager
def _filled(sizes: Sizes, folder: Path) -> Iterator[Servers]:
    """Both servers with the same history."""
    bodies = [one.body for one in sealed_entries(sizes.history)]
    with both_servers(folder) as servers:
        for body in push_bodies(bodies, USUAL.batch):
            push(servers.floor, body)
            push(servers.pomeward, body)
        yield servers


def _pulls(
    servers: Servers, history: int, page: int, rounds: int, packed: bool = False
) -> Iterator[tuple[Work, Work]]:
    for _ in range(rounds):
        for since in range(0, history - page + 1, page):
            yield (
                partial(pull, servers.floor, since, page, packed),
                partial(pull, servers.pomeward, since, page, packed),
            )

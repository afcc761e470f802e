"""A group's history in pages over real HTTP, against a plain SELECT and a join over the same HTTP."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tests.benchmarks.measuring import Ratio, Work, at_least, in_turns
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import Servers, both_servers, pull, push, push_body
from tests.benchmarks.sizes import USUAL, Sizes

NOTE = "full pages of a history; floor: same uvicorn, SELECT, join"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """Entries a second that a new phone gets."""
    bodies = [one.body for one in sealed_entries(sizes.history)]
    with both_servers(folder) as servers:
        for at in range(0, len(bodies), USUAL.batch):
            body = push_body(bodies[at : at + USUAL.batch])
            push(servers.floor, body)
            push(servers.pomeward, body)
        starts = range(0, len(bodies) - sizes.page + 1, sizes.page)
        times = in_turns(_pulls(servers, [since for _ in range(rounds) for since in starts], sizes.page))
    return [times.rates("pull", sizes.page, "entries/s", at_least(0.4), NOTE)]


def _pulls(servers: Servers, starts: list[int], page: int) -> Iterator[tuple[Work, Work]]:
    for since in starts:
        yield partial(pull, servers.floor, since, page), partial(pull, servers.pomeward, since, page)

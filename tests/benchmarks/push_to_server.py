"""Batches of entries over real HTTP to the real server, against the least that a server can do with them."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tests.benchmarks.measuring import Ratio, Work, at_least, in_turns
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import Servers, both_servers, push, push_bodies
from tests.benchmarks.sizes import Sizes

NOTE = (
    "pushes of whole batches; floor: same uvicorn, orjson.loads, executemany into one table, one transaction"
)


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """Entries a second that one phone gets rid of."""
    bodies = [one.body for one in sealed_entries(sizes.batch * sizes.batches * rounds)]
    batches = push_bodies(bodies, sizes.batch)
    with both_servers(folder) as servers:
        times = in_turns(_pushes(servers, batches))
    return [times.rates("push", sizes.batch, "entries/s", at_least(0.4), NOTE)]


def _pushes(servers: Servers, batches: list[bytes]) -> Iterator[tuple[Work, Work]]:
    for body in batches:
        yield partial(push, servers.floor, body), partial(_push_and_look, servers, body)


def _push_and_look(servers: Servers, body: bytes) -> None:
    answer = push(servers.pomeward, body).content
    assert answer.count(b'"shared"') == body.count(b'"entered"'), "The server did not take every entry."

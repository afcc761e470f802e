"""A fresh phone comes to a group with a long history, against fetching and writing the same entries and no more."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import httpx

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.sync.pull import PAGE
from mobile.sync.remote_server import RemoteServer
from shared_models.protocol import ConnectReply
from tests.benchmarks.measuring import Ratio, Work, at_most, in_turns
from tests.benchmarks.raw_phone import fetch, raw_phone
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import PATIENCE, Servers, both_servers, push, push_bodies
from tests.benchmarks.sizes import USUAL, Sizes

NOTE = (
    "a fresh phone's first exchange, log and state, until it can be read; "
    "floor: the same pages from the least server, unpacked, orjson.loads, executemany into one table"
)


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """How long a new phone takes until it holds everything."""
    with both_servers(folder) as servers:
        for body in push_bodies([one.body for one in sealed_entries(sizes.group)], USUAL.batch):
            push(servers.floor, body)
            push(servers.pomeward, body)
        with httpx.Client(base_url=servers.floor.base_url, timeout=PATIENCE) as plain:
            times = in_turns(_exchanges(plain, servers, sizes.group, rounds, folder))
    return [times.medians("first_exchange", "s", 1, at_most(2.5), NOTE)]


def _exchanges(
    floor: httpx.Client, servers: Servers, total: int, rounds: int, folder: Path
) -> Iterator[tuple[Work, Work]]:
    for number in range(rounds):
        with raw_phone(folder / f"floor-phone{number}.db") as driver:
            file = folder / f"phone{number}.db"
            yield (
                partial(fetch, floor, driver, total, PAGE),
                partial(_first_exchange, file, servers.members[0], servers.real.address, total),
            )


def _first_exchange(file: Path, member: ConnectReply, address: str, total: int) -> None:
    store = PhoneStore(file)
    store.begin("Ada", "Europe/Rome")
    store.membership.join(address, member)
    with RemoteServer(address, member.token) as server:
        outcome = exchange(store, server)
    store.close()
    assert outcome.pulled >= total, "The phone does not hold everything."

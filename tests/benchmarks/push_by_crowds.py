"""Many phones that push at once to the real server, against the same phones at the least that a server can do."""

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from tests.benchmarks.crowd import Batches, Crowd, crowd
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Times, Work, at_least, at_most, in_turns
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import both_servers, push, push_bodies
from tests.benchmarks.sizes import Sizes

TURNS_A_ROUND = 2
NOTE = "{phones} phones at once push {batch} entries each time; floor: the same phones, orjson.loads, executemany"


def measure_few(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """Entries a second that few phones get rid of in large batches, and how long a push takes."""
    return _measure(*sizes.few, sizes.crowd_batches, rounds, folder)


def measure_many(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The same of many phones with small batches."""
    return _measure(*sizes.many, sizes.crowd_batches, rounds, folder)


def _measure(phones: int, batch: int, batches: int, rounds: int, folder: Path) -> list[Ratio]:
    turns = TURNS_A_ROUND * rounds
    a_turn = phones * batches * batch
    bodies = push_bodies([one.body for one in sealed_entries(a_turn * turns + batch)], batch)
    first = bodies.pop()  # no turn pays for what a server reads and builds at its first push
    dealt = [
        _dealt(bodies[at : at + phones * batches], phones) for at in range(0, len(bodies), phones * batches)
    ]
    each = Times([], [])
    with (
        both_servers(folder, phones) as servers,
        crowd(servers.floor, servers.tokens) as at_floor,
        crowd(servers.pomeward, servers.tokens) as at_pomeward,
    ):
        push(servers.floor, first)
        push(servers.pomeward, first)
        whole = in_turns(_turns(at_floor, at_pomeward, dealt, each))
    name, note = f"push_by_{phones}", NOTE.format(phones=phones, batch=batch)
    return [
        whole.rates(name, a_turn, "entries/s", at_least(0.4), note),
        each.medians(f"{name}_p50", "ms a push", MILLISECONDS, at_most(2.5), note),
        each.slowest_in_hundred(f"{name}_p99", "ms a push", MILLISECONDS, at_most(2.5), note),
    ]


def _dealt(bodies: Sequence[bytes], phones: int) -> list[Batches]:
    """Batches dealt out like cards."""
    return [bodies[phone::phones] for phone in range(phones)]


def _turns(
    floor: Crowd, pomeward: Crowd, dealt: Sequence[list[Batches]], each: Times
) -> Iterator[tuple[Work, Work]]:
    for hand in dealt:
        yield partial(floor.push, hand, each.floor), partial(pomeward.push, hand, each.subject)

"""Phones that each recorded by themselves come together again: how long until every one of them holds everything.

Each phone is a process of its own. Floor phones send and fetch as many entries of the same size at the least server.
"""

import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from mobile.storage.facts import Identity
from mobile.storage.phone_store import PhoneStore
from tests.benchmarks.measuring import Ratio, Work, at_most, in_turns
from tests.benchmarks.servers import Listening, group_of, listening
from tests.benchmarks.sizes import Sizes

NOTE = (
    "{phones} phones with {unsent} unsent entries each, at once, until each holds all; "
    "floor: the same amount sent and fetched by phones that only write it down, at the least server"
)
Process = subprocess.Popen[str]


@dataclass(frozen=True, slots=True)
class Parted:
    """Phones that are ready to come together, and their server."""

    server: Listening
    phones: Sequence[Process]

    def come_together(self) -> None:
        """Let all exchange, and wait until each holds everything."""
        for phone in self.phones:
            into = _pipe(phone.stdin)
            into.write("go\n")
            into.flush()
        for phone in self.phones:
            _says(phone, "done")


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """How long a group takes to come together."""
    times = in_turns(turn for number in range(rounds) for turn in _turn(sizes, folder / str(number)))
    note = NOTE.format(phones=sizes.parted, unsent=sizes.unsent)
    return [times.medians("convergence", "s", 1, at_most(2.5), note)]


def _turn(sizes: Sizes, folder: Path) -> Iterator[tuple[Work, Work]]:
    """Both groups with all their phones prepared; one comes together after the other."""
    with parted("floor", folder, sizes) as floor, parted("pomeward", folder, sizes) as phones:
        yield floor.come_together, phones.come_together


@contextmanager
def parted(kind: str, folder: Path, sizes: Sizes) -> Iterator[Parted]:
    """A server and phones that are ready to exchange with it, of either kind."""
    data = folder / kind
    data.mkdir(parents=True)
    files = [data / f"phone{number}.db" for number in range(sizes.parted)]
    devices = [] if kind == "floor" else [(one.device, one.person) for one in map(_begin, files)]
    replies = group_of(data, devices) if devices else []
    with listening(kind, data) as server, ExitStack() as phones:
        for file, reply in zip(files, replies, strict=False):
            with closing(PhoneStore(file)) as store:
                store.membership.join(server.address, reply)
        asked = [server.address, str(sizes.unsent), str(sizes.unsent * sizes.parted)]
        started = [phones.enter_context(_process(kind, file, asked)) for file in files]
        for phone in started:
            _says(phone, "ready")
        yield Parted(server, started)


def _begin(file: Path) -> Identity:
    with closing(PhoneStore(file)) as store:
        return store.begin("Ada", "Europe/Rome")


@contextmanager
def _process(kind: str, file: Path, asked: Sequence[str]) -> Iterator[Process]:
    command = [sys.executable, "-m", "tests.benchmarks.parted_phone", kind, str(file), *asked]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield process
        finally:
            _pipe(process.stdin).close()  # it ends by itself then
            process.wait()


def _says(phone: Process, word: str) -> None:
    said = _pipe(phone.stdout).readline().strip()
    if said != word:
        raise RuntimeError(f"A phone that should say “{word}” said “{said}”.")


def _pipe(pipe: IO[str] | None) -> IO[str]:
    assert pipe
    return pipe

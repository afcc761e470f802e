"""The same group over real sockets: each phone speaks HTTP through a line of its own, which has faults."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, suppress
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

import httpx

from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from server.settings import Settings
from shared_models.errors import NotReachableError
from shared_models.protocol import SyncServer
from tests.agreement.fault_proxy import Box, FaultProxy, all_is_well, at_random
from tests.agreement.neighbours import PHONES, STEPS, Beginning, Neighbours
from tests.agreement.runs import MEMORY, Stage, Story, statements_put_into_words_once, story
from tests.mobile.sync.group import ShortPages
from tests.server.running import RunningServer

TROUBLE = 0.3  # how likely each request meets a fault
SHORT_OF_PATIENCE = (
    0.4  # seconds that a phone waits on a bad line; on a good one it may be the machine that is slow
)
PATIENT = 60.0
STEPS_OVER_SOCKETS = {**STEPS, "share": 14, "together": 12}


class Lines:
    """A line for each phone, and a client that keeps its connection; made once for many runs."""

    def __init__(self, url: str, until_the_end: ExitStack) -> None:
        port = urlsplit(url).port
        assert port
        self._port, self._until_the_end = port, until_the_end
        self.proxies: list[FaultProxy] = []
        self.clients: list[httpx.Client] = []
        for _ in range(PHONES):
            self.proxies.append(until_the_end.enter_context(FaultProxy(port)))
            client = httpx.Client(
                trust_env=False, timeout=PATIENT
            )  # making one takes as long as three exchanges
            self.clients.append(until_the_end.enter_context(client))

    def begin(self, seed: int) -> Box:
        """For a new run: faults from its seed, and nothing under way."""
        box = Box()
        for one, proxy in enumerate(self.proxies):
            proxy.box, self._chances = box, [random.Random(f"{seed} {one}") for one in range(PHONES)]
        return box

    def bad(self, one: int) -> tuple[str, httpx.Client]:
        """The line of a phone while it has faults."""
        self.proxies[one].plan = at_random(self._chances[one], TROUBLE)
        self.clients[one].timeout = httpx.Timeout(SHORT_OF_PATIENCE)
        return self.proxies[one].url, self.clients[one]

    def good(self, one: int) -> tuple[str, httpx.Client]:
        """The line of a phone when all is well."""
        self.proxies[one].plan = all_is_well
        self.clients[one].timeout = httpx.Timeout(PATIENT)
        return self.proxies[one].url, self.clients[one]


class OverSockets(Neighbours):
    """Phones that may exchange at the same time, as phones do."""

    def __init__(self, lines: Lines, beginning: Beginning, folder: Path, seed: int) -> None:
        super().__init__(beginning, folder, seed)
        self._lines, self._box = lines, lines.begin(seed)

    def share(self, one: int, which: int) -> None:
        """An exchange over a line with faults, in short pages; whatever breaks it off, the phone goes on as after a pause."""
        server = self._server(one, *self._lines.bad(one))
        with suppress(NotReachableError):
            exchange(self.phones[one].store, ShortPages(server, (2, 5, 1000)[which % 3]))

    def together(self, _: int, which: int) -> None:
        """All phones exchange at once."""
        with ThreadPoolExecutor(PHONES) as pool:
            list(pool.map(lambda one: self.share(one, which + one), range(PHONES)))

    def deliver(self, one: int, which: int) -> None:
        """A request arrives long after its sender gave up."""
        self._lines.proxies[one].deliver(which)

    def good_line(self, one: int) -> SyncServer:
        """The server over a line without faults."""
        return self._server(one, *self._lines.good(one))

    def _server(self, one: int, url: str, client: httpx.Client) -> RemoteServer:
        member = self.phones[one].store.membership.current()
        assert member
        return RemoteServer(url, member.token, client)


def story_over_sockets(seed: int) -> Story:
    """The story of a seed, with phones that exchange at once."""
    return story(seed, steps=STEPS_OVER_SOCKETS)


@contextmanager
def stage_over_sockets(url: str | None = None) -> Iterator[Stage]:
    """A stage with a real server, on the database of that address, else on a SQLite file."""
    folder = Path(tempfile.mkdtemp(prefix="pomeward-", dir=MEMORY if MEMORY.is_dir() else None))
    with ExitStack() as until_the_end:
        until_the_end.callback(shutil.rmtree, folder)
        until_the_end.enter_context(statements_put_into_words_once())
        running = RunningServer(Settings(data=folder / "server", database_url=url or ""))
        running.start()
        until_the_end.callback(running.stop)
        lines = Lines(running.url, until_the_end)
        yield Stage(running.services.database, folder, partial(OverSockets, lines))

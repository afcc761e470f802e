"""One phone, one line with faults, one real server; and others of the group, whose line is good."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

import httpx
import pytest

from mobile.storage.outgoing import Attempt
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.pull import pull
from mobile.sync.push import Push
from mobile.sync.remote_server import RemoteServer
from server.settings import Settings
from shared_models.errors import NotReachableError
from shared_models.protocol import MAX_PULL_ENTRIES
from tests.agreement.fault_proxy import Fault, FaultProxy, Trouble, all_is_well
from tests.builders import FieldPhone
from tests.mobile.phones import Phones, SetClock, picking_visit
from tests.server.running import RunningServer

PATIENCE = 0.5  # seconds; a server that answers later on a busy machine is one more trouble
LONG = httpx.Timeout(60.0)


class OneLine:
    """The phone has recorded a visit, and everything is shared. `known` is how many entries that were."""

    def __init__(self, folder: Path, url: str | None, until_the_end: ExitStack) -> None:
        self._server = RunningServer(Settings(data=folder / "server", database_url=url or ""))
        self._server.start()
        until_the_end.callback(self._server.stop)
        port = urlsplit(self._server.url).port
        assert port
        self.proxy = until_the_end.enter_context(FaultProxy(port))
        self._http = until_the_end.enter_context(httpx.Client(trust_env=False, timeout=LONG))
        phones = Phones(folder)
        until_the_end.callback(phones.close)
        group = self._server.group()
        self._other, self._others = FieldPhone(), self._server.caller(group)
        self.store = phones.begun(clock=SetClock())
        reply = connect(self.proxy.url, self._server.code(group), self.store, "phone")
        self.remote = RemoteServer(self.proxy.url, reply.token, self._http)
        self.visit = picking_visit(self.store)
        self.heal()
        self.known = self.on_server()
        self._hello = self.remote.hello()

    # ------------------------------------------------------------ what the phone does
    def exchange(self) -> None:
        """A whole exchange, without much patience."""
        self._http.timeout = httpx.Timeout(PATIENCE)
        exchange(self.store, self.remote)

    def push(self) -> None:
        """Only the push."""
        attempt = Attempt("1", self.store.membership.fingerprint())
        Push(self.store, self.remote, self._hello, attempt).run()

    def pull(self) -> None:
        """Only the pull."""
        pull(self.store, self.remote)

    def heal(self) -> None:
        """The line is good from now on, and the phone exchanges."""
        self.proxy.plan = all_is_well
        self._http.timeout = LONG
        exchange(self.store, self.remote)

    # ------------------------------------------------------------ what is where
    def waiting(self) -> int:
        """How many entries are on this phone only."""
        return self.store.sharing().waiting

    def tallied(self) -> float:
        """Fruit counted on the visit, as the phone shows it."""
        return sum(count.n for count in self.store.tallies(self.visit))

    def on_server(self) -> int:
        """How many entries the server has; their numbers have no hole."""
        count = 0
        while page := self._others.pull(count, MAX_PULL_ENTRIES)["items"]:
            assert [item["seq"] for item in page] == list(range(count + 1, count + 1 + len(page))), "a hole"
            count += len(page)
        return count

    def holds_just(self, count: int) -> None:
        """All is shared, and phone and server hold so many tallied fruit, what was there before, and nothing else."""
        assert self.waiting() == 0 and self.tallied() == count
        assert self.on_server() == len(self.store.history(100_000)) == count + self.known

    def others_push(self, count: int) -> None:
        """Somebody else tallies fruit on the same visit."""
        self._others.push([self._other.mark(self.visit, "clean") for _ in range(count)])

    # ------------------------------------------------------------ cutting
    def cut_at_each(
        self, trouble: Trouble, act: Callable[[], None], step: int, holds: Callable[[], bool], spare: int = 0
    ) -> bytes:
        """Cut what the phone does at every byte but the last `spare`; it fails each time, and `holds` after it.

        Returns what was cut last, whole.
        """
        at, whole = 0, b""
        self._http.timeout = LONG
        while not whole or at < len(whole) - spare:
            asked: list[bytes] = []
            self.proxy.plan = partial(_noted, asked, Fault(trouble, at))
            with pytest.raises(NotReachableError):
                act()
            assert holds(), f"cut at byte {at}"
            whole, at = self._cut(trouble, asked[0]), at + step
        self.proxy.plan = all_is_well
        return whole

    def _cut(self, trouble: Trouble, request: bytes) -> bytes:
        if trouble is Trouble.REQUEST_CUT:
            return request
        (answers,) = [found for asked, found in self.proxy.box.answers.items() if request.startswith(asked)]
        return answers[-1] if trouble is Trouble.ANSWER_CUT else answers[-1].partition(b"\r\n\r\n")[2]


def _noted(asked: list[bytes], fault: Fault, request: bytes) -> Fault:
    asked.append(request)
    return fault

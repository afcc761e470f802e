"""Many phones that push to one server at the same time, each on a connection of its own. Knows no Pomeward code.

Requests are bytes made beforehand and go through the plainest client there is, so that on a machine of few processors
the phones take little from the server that is measured.
"""

import http.client
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from functools import partial

import httpx

from tests.benchmarks.measuring import seconds
from tests.benchmarks.servers import ENTRIES, PATIENCE

Batches = Sequence[bytes]


class Caller:
    """One phone with its connection; `token` in the place of the client's own."""

    def __init__(self, client: httpx.Client, token: str = "") -> None:
        asked = client.build_request("POST", ENTRIES)
        self._path = asked.url.raw_path.decode()
        self._headers = {"Content-Type": "application/json"} | (
            {"Authorization": f"Bearer {token}"} if token else {}
        )
        self._line = http.client.HTTPConnection(asked.url.host, asked.url.port, timeout=PATIENCE)

    def push(self, body: bytes) -> None:
        """Send a batch and read the answer; what is not taken is no measure."""
        self._line.request("POST", self._path, body, self._headers)
        answer = self._line.getresponse()
        said = answer.read()
        if answer.status != 200:
            raise RuntimeError(f"A push was answered {answer.status}: {said[:200]!r}")

    def hang_up(self) -> None:
        """Close the connection; the next push opens another."""
        self._line.close()


class Crowd:
    """Phones that all push at once."""

    def __init__(self, callers: Sequence[Caller], threads: ThreadPoolExecutor) -> None:
        self._callers = callers
        self._threads = threads

    def push(self, dealt: Sequence[Batches], taken: list[float]) -> None:
        """Each phone pushes its batches, one after the other; `taken` gets the seconds of every push."""
        for each in self._threads.map(_push_each, self._callers, dealt):
            taken.extend(each)


@contextmanager
def crowd(client: httpx.Client, tokens: Sequence[str]) -> Iterator[Crowd]:
    """As many phones as there are tokens."""
    with ExitStack() as lines, ThreadPoolExecutor(len(tokens)) as threads:
        callers = [Caller(client, token) for token in tokens]
        for caller in callers:
            lines.callback(caller.hang_up)
        yield Crowd(callers, threads)


def _push_each(caller: Caller, batches: Batches) -> list[float]:
    """On a connection of this turn: servers hang up on those that were silent while the others had theirs."""
    caller.hang_up()
    return [seconds(partial(caller.push, body)) for body in batches]

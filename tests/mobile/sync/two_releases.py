"""Two releases of Pomeward in one process: the present one, and a later one that knows a kind and a version more.

What a release knows is its list of kinds, so a block lives in the later one while that list is longer. A phone or a
server of a release is its own code, called inside such a block.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import ClassVar

from shared_models.protocol import Hello, PullReply, PushReply, SyncServer
from shared_models.records import kinds
from shared_models.records.fields import Label, Record
from shared_models.records.gardens import Note


class Hedge(Record):
    """A kind that the later release brought."""

    kind: ClassVar[str] = "hedge"
    name: Label
    length_m: float | None = None


@contextmanager
def later_release() -> Iterator[None]:
    """Hedges are known, and notes are of version 2."""
    kinds.KINDS[Hedge.kind] = Hedge
    Note.version += 1
    try:
        yield
    finally:
        Note.version -= 1
        del kinds.KINDS[Hedge.kind]


class OfLaterRelease:
    """A server of the later release, whatever the phone is."""

    def __init__(self, server: SyncServer) -> None:
        self._server = server

    def hello(self) -> Hello:
        """As that release says it."""
        with later_release():
            return self._server.hello()

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """As that release takes it."""
        with later_release():
            return self._server.push(bodies, epoch)

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """As that release gives it."""
        with later_release():
            return self._server.pull(since, limit, epoch)


class OfThisRelease(OfLaterRelease):
    """A server of this release, though the phone is of the later one: called inside `later_release`."""

    def hello(self) -> Hello:
        """As this release says it."""
        with _this_release():
            return self._server.hello()

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """As this release takes it."""
        with _this_release():
            return self._server.push(bodies, epoch)

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """As this release gives it."""
        with _this_release():
            return self._server.pull(since, limit, epoch)


@contextmanager
def _this_release() -> Iterator[None]:
    hedge = kinds.KINDS.pop(Hedge.kind)
    Note.version -= 1
    try:
        yield
    finally:
        Note.version += 1
        kinds.KINDS[Hedge.kind] = hedge

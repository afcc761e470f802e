"""The wire between one phone and the server, the only thing that is not real: it loses, doubles, delays, mixes up."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeVar

from server.services.exchange import Exchange
from shared_models.errors import NotReachableError, PomewardError
from shared_models.protocol import Hello, PullReply, PushReply


class Fate(StrEnum):
    """What becomes of one request and its answer."""

    ARRIVES = "arrives"
    REQUEST_LOST = "request lost"
    ANSWER_LOST = "answer lost"
    TWICE = "arrives twice"
    LATE = "request arrives after the phone gave up"
    STALE = "an earlier answer comes back"


R = TypeVar("R")
BAD = (Fate.REQUEST_LOST, Fate.ANSWER_LOST, Fate.TWICE, Fate.LATE, Fate.STALE)


@dataclass(slots=True)
class Bag:
    """Requests that are still under way, and answers that some box between may still have."""

    requests: list[Callable[[], object]] = field(default_factory=list)
    pushes: list[PushReply] = field(default_factory=list)
    pulls: list[PullReply] = field(default_factory=list)

    def deliver(self, which: int) -> None:
        """Let a request arrive whose sender gave up; its answer goes nowhere."""
        if self.requests:
            with suppress(PomewardError):  # an answer of the server's, which nobody hears
                self.requests.pop(which % len(self.requests))()


class Wire:
    """A SyncServer whose messages have fates; `trouble` is how likely each is a bad one."""

    def __init__(self, door: Exchange, bag: Bag, chance: random.Random, trouble: float) -> None:
        self._door, self._bag, self._chance, self._trouble = door, bag, chance, trouble
        self.hello: Callable[[], Hello] = door.hello

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Perhaps stored, perhaps answered."""
        kept = list(bodies)
        return self._carry(lambda: self._door.push(kept, epoch), self._bag.pushes)

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """A short page, perhaps of another time."""
        short = min(limit, self._chance.choice((2, 5, 1000)))
        return self._carry(lambda: self._door.pull(since, short, epoch), self._bag.pulls)

    def _carry(self, ask: Callable[[], R], earlier: list[R]) -> R:
        fate = self._fate()
        if fate is Fate.REQUEST_LOST:
            raise NotReachableError("The request was lost.")
        if fate is Fate.LATE:
            self._bag.requests.append(ask)
            raise NotReachableError("Nobody answered in time.")
        if fate is Fate.STALE and earlier:
            return self._chance.choice(earlier)
        if fate is Fate.TWICE:
            ask()
        answer = ask()
        earlier.append(answer)
        if fate is Fate.ANSWER_LOST:
            raise NotReachableError("The answer was lost.")
        return answer

    def _fate(self) -> Fate:
        return self._chance.choice(BAD) if self._chance.random() < self._trouble else Fate.ARRIVES

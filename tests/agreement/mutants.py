"""The program with one promise broken at a time. A suite that lets one of these live is no proof of anything.

Each replaces a function by one that does what a careless version would do, for as long as the block lasts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from unittest.mock import patch

from mobile.storage import facts, incoming, numbering, page_merge, received
from mobile.storage.facts import Fact
from mobile.storage.incoming import Incoming, PageFate, PageTaken
from mobile.storage.numbering import NumbersChangedError
from mobile.storage.outgoing import Answer
from server.database.entries import LockedLog
from server.services import exchange as server_exchange
from server.services.verdicts import Faulty
from shared_models import entries
from shared_models.errors import BadInputError
from shared_models.protocol import PullReply
from shared_models.store import entry_log
from tests.agreement import server_side

Mutant = Callable[[], Any]


@contextmanager
def batch_fails_as_a_whole() -> Iterator[None]:
    """One bad entry, and nothing of the push is taken."""
    real = server_exchange.Exchange._store

    def store(self: Any, judged: list[Any], *more: Any) -> Any:
        if any(isinstance(one, Faulty) for one in judged):
            raise BadInputError("Something in it is wrong.")
        return real(self, judged, *more)

    with patch.object(server_exchange.Exchange, "_store", store):
        yield


@contextmanager
def server_takes_twice() -> Iterator[None]:
    """The server does not look whether it has an entry already."""
    with patch.object(LockedLog, "known", lambda self, ids: {}):
        yield


@contextmanager
def phone_takes_twice() -> Iterator[None]:
    """The phone does not look whether it has an entry already."""
    with patch.object(entry_log, "known", lambda *_: {}):
        yield


@contextmanager
def cursor_moves_before_the_data() -> Iterator[None]:
    """The cursor is written in a transaction of its own, and then the page."""

    def take(self: Incoming, page: PullReply) -> PageTaken:
        with self._database.writing() as line:
            cursor = int(facts.read(line.core, Fact.CURSOR) or 0)
            if page.epoch != facts.read(line.core, Fact.EPOCH) or page.since not in (cursor, cursor - 1):
                return PageTaken(PageFate.DROPPED)
            if page.max < cursor:
                raise NumbersChangedError
            facts.note(line.core, {Fact.CURSOR: str(max(cursor, page.to))})
        with self._database.writing() as line:
            new = page_merge.merge(line, self._statements, received.received_page(page))
        return PageTaken(PageFate.TAKEN, new)

    with patch.object(Incoming, "take", take):
        yield


@contextmanager
def nothing_is_compared() -> Iterator[None]:
    """Phone and server never look whether they hold the same."""
    with patch.object(Incoming, "agrees_with", lambda self, page: True):
        yield


@contextmanager
def epoch_stays_when_put_back() -> Iterator[None]:
    """The server goes back to an earlier state and says nothing of it."""
    with patch.object(server_side, "begin_recovery", lambda *_: None):
        yield


@contextmanager
def stale_push_is_accepted() -> Iterator[None]:
    """What was sent before the server was put back is stored when it arrives after."""
    real = server_exchange.Exchange._store

    def store(self: Any, judged: list[Any], epoch: str, now: str) -> Any:
        return real(self, judged, self.epoch(), now)

    with patch.object(server_exchange.Exchange, "_store", store):
        yield


@contextmanager
def stamps_are_not_received() -> Iterator[None]:
    """A phone's clock takes no note of the stamps that come in."""
    with patch.object(page_merge, "newest_stamp", lambda _: 0):
        yield


@contextmanager
def only_own_entries_are_supplied_again() -> Iterator[None]:
    """After the server was put back a phone sends only what it recorded itself."""
    own = "AND instr(body, (SELECT value FROM phone WHERE name = 'device')) > 0"
    with patch.object(numbering, "_ALL_WAIT", f"{numbering._ALL_WAIT} {own}"):
        yield


@contextmanager
def hash_leaves_out_the_stamp() -> Iterator[None]:
    """Two entries that differ in nothing but their stamp count as the same."""
    real = entries.text_hash

    def without(body: str) -> str:
        before, _, after = body.partition('"stamp":"')
        return real(before + after[16:])

    from mobile.storage import looking_through

    with (
        patch.object(entries, "text_hash", without),
        patch.object(received, "text_hash", without),
        patch.object(looking_through, "text_hash", without),
        patch("server.services.sealing.sealed", _sealed_with(without)),
        patch("server.services.push_body.sealed", _sealed_with(without)),
    ):
        yield


@contextmanager
def held_back_is_folded() -> Iterator[None]:
    """What the server did not take goes on counting on the phone."""
    with patch.object(entry_log, "set_aside", lambda *_: None):
        yield


@contextmanager
def answers_are_not_matched() -> Iterator[None]:
    """Whatever answer comes is taken for the answer to what was sent."""
    from mobile.sync import push

    def answers(batch: list[Any], reply: Any) -> list[Any]:
        return [Answer(entry, seq=result.seq) for entry, result in zip(batch, reply.results, strict=False)]

    with patch.object(push, "answers_to", answers):
        yield


@contextmanager
def page_changes_nothing_that_is_here() -> Iterator[None]:
    """A page that changes a record which is here does not fold it anew."""
    with patch.object(entry_log, "touch", lambda *_: None):
        yield


@contextmanager
def start_over_keeps_the_cursor() -> Iterator[None]:
    """After the server was put back a phone goes on fetching where it was."""
    real = numbering.start_over

    def start_over(line: Any, epoch: str | None = None) -> None:
        cursor = facts.read(line.core, Fact.CURSOR) or "0"
        real(line, epoch)
        facts.note(line.core, {Fact.CURSOR: cursor})

    with patch.object(incoming, "start_over", start_over):
        yield


def _sealed_with(text_hash: Callable[[str], str]) -> Callable[[dict[str, Any]], Any]:
    from server.services import sealing

    real = sealing.sealed

    def sealed(envelope: dict[str, Any]) -> Any:
        arrival = real(envelope)
        arrival.hash = text_hash(arrival.body)
        return arrival

    return sealed


MUTANTS: tuple[Mutant, ...] = (
    batch_fails_as_a_whole,
    server_takes_twice,
    phone_takes_twice,
    cursor_moves_before_the_data,
    nothing_is_compared,
    epoch_stays_when_put_back,
    stale_push_is_accepted,
    stamps_are_not_received,
    only_own_entries_are_supplied_again,
    hash_leaves_out_the_stamp,
    held_back_is_folded,
    answers_are_not_matched,
    page_changes_nothing_that_is_here,
    start_over_keeps_the_cursor,
)

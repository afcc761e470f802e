"""One exchange with the group's server: push until the outbox is empty, then pull. Knows no transport, no screen."""

import time
from dataclasses import dataclass
from datetime import datetime, timedelta

from mobile.storage.numbering import NumbersChangedError
from mobile.storage.outgoing import Attempt
from mobile.storage.phone_store import PhoneStore
from mobile.sync.pull import DifferenceError, pull
from mobile.sync.push import Push
from shared_models.errors import NotReachableError, StartOverError
from shared_models.language import say
from shared_models.protocol import Hello, SyncServer

CLOCK_TOLERANCE = timedelta(seconds=120)
LONGEST_ROUND_TRIP = 10.0  # seconds; a slower answer says nothing about the clock


@dataclass(frozen=True, slots=True)
class ExchangeOutcome:
    """What one exchange came to; `clock_ahead` is how far this phone's clock is off, where that is worth saying."""

    pushed: int
    held_back: int
    later: int
    refused: int
    pulled: int
    clock_ahead: timedelta | None = None


def exchange(store: PhoneStore, server: SyncServer) -> ExchangeOutcome:
    """Share everything and fetch everything; errors leave the phone as far as it came, and calling again is harmless.

    Where the server was put back, or the two hold different entries, everything is sent and fetched again, once.
    """
    store.looking.look_through_daily()
    try:
        return _exchange(store, server)
    except StartOverError as error:
        store.incoming.start_over(error.epoch)
    except NumbersChangedError:
        store.incoming.start_over()
    except DifferenceError as error:
        if (
            store.looking.difference() == error.stands
        ):  # all was fetched anew for it; the server has to be mended
            raise
        store.looking.look_through()
        store.incoming.start_over()
    return _again(store, server)


def _again(store: PhoneStore, server: SyncServer) -> ExchangeOutcome:
    try:
        return _exchange(store, server)
    except DifferenceError as error:
        store.looking.note_difference(error.stands)
        raise
    except (StartOverError, NumbersChangedError) as error:
        raise NotReachableError(
            say("The server’s answers contradict each other. Everything here is kept; try again later.")
        ) from error


def _exchange(store: PhoneStore, server: SyncServer) -> ExchangeOutcome:
    hello, ahead = _greet(store, server)
    # What a server is too old for, it may take as soon as it is another version, or knows other records.
    attempt = Attempt(f"{hello.version} {hello.knows}".strip(), store.membership.fingerprint())
    store.outgoing.try_again(attempt)
    pushed = Push(store, server, hello, attempt).run()
    pulled = pull(store, server)
    store.looking.note_difference("")
    store.membership.note_exchange(store.now().isoformat(timespec="seconds"))
    return ExchangeOutcome(pushed.shared, pushed.held_back, pushed.later, pushed.refused, pulled, ahead)


def _greet(store: PhoneStore, server: SyncServer) -> tuple[Hello, timedelta | None]:
    started = time.monotonic()
    hello = server.hello()
    if time.monotonic() - started > LONGEST_ROUND_TRIP:
        return hello, None
    return hello, clock_ahead(store.now(), hello.server_time)


def clock_ahead(here: datetime, server_time: str) -> timedelta | None:
    """How far this phone's clock is ahead of the server's (behind: negative); None where it is near enough."""
    try:
        there = datetime.fromisoformat(server_time)
    except ValueError:
        return None
    if there.tzinfo is None or abs(here - there) <= CLOCK_TOLERANCE:
        return None
    return here - there

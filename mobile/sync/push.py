"""Send what waits on this phone, oldest first, and take the server's answer for each entry. Knows no transport.

"Nothing holds up what comes after it": a batch that is too large is halved, and an entry that cannot pass alone
stands aside with the reason.
"""

from dataclasses import dataclass, field

from mobile.storage.held_back import TAKEN
from mobile.storage.outbox import Waits
from mobile.storage.outgoing import Answer, Attempt, Waiting
from mobile.storage.phone_store import PhoneStore
from mobile.sync.replies import ServerFailedError
from shared_models.errors import NotReachableError, TooLargeError
from shared_models.language import say
from shared_models.protocol import (
    MAX_PUSH_BYTES,
    MAX_PUSH_ENTRIES,
    Hello,
    PushReply,
    PushResult,
    PushState,
    SyncServer,
)

MOST_FAILURES = 5  # single entries in a row that a server may fail on before it counts as down
_ASIDE = {
    PushState.HELD_BACK: Waits.HELD_BACK,
    PushState.REFUSED: Waits.REFUSED,
    PushState.LATER: Waits.LATER,
}


@dataclass(slots=True)
class Pushed:
    """How many entries became shared, and how many stand aside."""

    shared: int = 0
    held_back: int = 0
    refused: int = 0
    later: int = 0

    def count(self, answers: list[Answer]) -> None:
        """Add the answers to one batch."""
        aside = [answer.aside for answer in answers]
        self.shared += aside.count(None)
        self.held_back += aside.count(Waits.HELD_BACK)
        self.refused += aside.count(Waits.REFUSED)
        self.later += aside.count(Waits.LATER)


@dataclass(slots=True)
class Push:
    """One push in flight: the outbox until it is empty."""

    store: PhoneStore
    server: SyncServer
    hello: Hello
    attempt: Attempt
    outcome: Pushed = field(default_factory=Pushed)
    failures: int = 0
    most: int = MAX_PUSH_ENTRIES
    epoch: str = ""

    def run(self) -> Pushed:
        """Send batch after batch; NotReachableError leaves the rest waiting."""
        self.epoch = self.store.incoming.epoch()
        self.most = min(self.hello.max_push_entries, MAX_PUSH_ENTRIES)
        most_bytes = min(self.hello.max_push_bytes, MAX_PUSH_BYTES) - len('{"entries":[]}')
        while batch := self.store.outgoing.oldest(self.most, most_bytes):
            self._send(batch)
        return self.outcome

    def _send(self, batch: list[Waiting]) -> None:
        try:
            reply = self.server.push([entry.body for entry in batch], self.epoch)
        except (TooLargeError, ServerFailedError) as error:
            self._send_less(batch, error)
        else:
            self.failures = 0
            if reply.epoch != self.epoch:
                raise _not_understood()
            self._settle(answers_to(batch, reply))

    def _send_less(self, batch: list[Waiting], error: TooLargeError | ServerFailedError) -> None:
        if len(batch) > 1:
            half = len(batch) // 2
            if isinstance(error, TooLargeError):
                self.most = half  # for the rest of this exchange
            self._send(batch[:half])
            self._send(batch[half:])
        elif isinstance(error, TooLargeError):
            self._settle([_too_large(batch[0])])
        else:
            self._settle([_stuck(batch[0], error)])
            self.failures += 1
            if self.failures >= MOST_FAILURES:
                raise error

    def _settle(self, answers: list[Answer]) -> None:
        self.store.outgoing.settle(answers, self.attempt)
        self.outcome.count(answers)


def answers_to(batch: list[Waiting], reply: PushReply) -> list[Answer]:
    """The answer for each entry of a batch; NotReachableError where any is missing or about another entry."""
    by_index = {result.index: result for result in reply.results}
    if len(reply.results) != len(batch) or set(by_index) != set(range(len(batch))):
        raise _not_understood()
    return [_answer(entry, by_index[index]) for index, entry in enumerate(batch)]


def _answer(entry: Waiting, result: PushResult) -> Answer:
    about_another = result.id not in (None, entry.id)
    if about_another or (result.state is PushState.SHARED and result.seq is None):
        raise _not_understood()
    if result.state is PushState.SHARED:
        return Answer(entry, seq=result.seq)
    sentence = f"{result.detail or _happened(result.state)} {_kept(result)}"
    return Answer(entry, None, _ASIDE[result.state], result.field, result.code, sentence)


def _happened(state: PushState) -> str:
    if state is PushState.LATER:
        return say("The server is too old for this record.")
    if state is PushState.REFUSED:
        return say("The server does not let this phone share this record.")
    return say("The server cannot take this record as it is.")


def _kept(result: PushResult) -> str:
    """What was kept, and what to do."""
    if result.state is PushState.LATER:
        return say(
            "It is kept on this phone, counts here, and is sent again by itself once the server is updated; "
            "ask the coordinator to update it."
        )
    if result.state is PushState.REFUSED:
        return say(
            "It is kept on this phone, counts here, and is sent again by itself once this phone is connected "
            "anew as a keeper."
        )
    if result.code == TAKEN:
        return say("It is kept on this phone and in no report; record it again to share it.")
    return say(
        "It is kept on this phone and in no report; correct it here, and it is shared with the next exchange."
    )


def _too_large(entry: Waiting) -> Answer:
    sentence = say(
        "This record is larger than the server takes. It is kept on this phone; shorten it to share it."
    )
    return Answer(entry, None, Waits.REFUSED, None, "too_large", sentence)


def _stuck(entry: Waiting, error: ServerFailedError) -> Answer:
    return Answer(entry, None, Waits.STUCK, None, "server_failed", str(error))


def _not_understood() -> NotReachableError:
    return NotReachableError(
        say(
            "The server's answer does not fit what was sent, so nothing counts as shared. Everything is kept on this phone."
        )
    )

"""The exchange of one device with its group: takes entries, gives entries. A SyncServer; no HTTP inside.

"Every entry gets an answer of its own, the same one each time it is sent, and a bad one never holds up the others."
"""

from collections.abc import Callable, Sequence

import orjson

from server.database import held_back
from server.database.arrivals import Arrival
from server.database.engine import Database
from server.database.entries import Counter, LockedLog, Page, counter_of, page
from server.database.members import Device
from server.services.moments import now_utc
from server.services.push_body import read_push
from server.services.verdicts import Answer, Content, Judged, Settlement, Unwelcome, check, ids_of
from shared_models.errors import BadInputError, StartOverError
from shared_models.language import say
from shared_models.protocol import (
    MAX_PULL_ENTRIES,
    PROTOCOL_VERSION,
    Hello,
    PullReply,
    PushReply,
)
from shared_models.records.kinds import kinds_known
from shared_models.vocabulary import Role


class Exchange:
    """What one connected device can do with its group's log."""

    def __init__(self, database: Database, device: Device, clock: Callable[[], str] = now_utc) -> None:
        self._database = database
        self._device = device
        self._clock = clock

    def hello(self) -> Hello:
        """Say who answers."""
        return hello(self._clock())

    def epoch(self) -> str:
        """The epoch of the group's numbers, for those who write from this very server."""
        with self._database.reading() as connection:
            return counter_of(connection, self._device.group).epoch

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Take entries (their canonical texts), oldest first."""
        text = self.push_text(f'{{"entries":[{",".join(bodies)}]}}'.encode(), epoch)
        return PushReply.model_validate_json(text)

    def push_text(self, body: bytes, epoch: str) -> bytes:
        """The same from bytes to bytes; BadInputError or TooLargeError where the body is no push, and nothing is kept.

        StartOverError where the sender knows another epoch, and nothing is kept either.
        """
        judged = [check(one) for one in read_push(body)]
        now = self._clock()
        answers = self._store(judged, epoch, now)
        return orjson.dumps({"epoch": epoch, "server_time": now, "results": answers})

    def _store(self, judged: list[Content], epoch: str, now: str) -> list[Answer]:
        """One transaction: lock the group, see what is known, append the rest, keep aside what is bad."""
        group, via = self._device.group, self._device.id
        with self._database.writing() as connection:
            log = LockedLog(connection, group)
            _refuse_other_epoch(epoch, log.counter)
            welcome = self._welcome(judged, log.counter)
            ids = ids_of(welcome)
            settlement = Settlement(log.known(ids), log.newest)
            answers = settlement.answers(welcome, ids)
            log.append(settlement.new, now, via)
            held_back.keep(connection, group, settlement.held, now, via)
        return answers

    def _welcome(self, judged: list[Content], counter: Counter) -> Sequence[Judged]:
        """What this device may store. While a group recovers, whoever only looks may bring back what others recorded."""
        if self._device.role is not Role.VIEWER:
            return judged
        return [one if counter.recovering and self._is_of_others(one) else Unwelcome(one) for one in judged]

    def _is_of_others(self, one: Content) -> bool:
        return isinstance(one, Arrival) and one.envelope["device"] != self._device.device

    def pull(self, since: int, limit: int, epoch: str = "") -> PullReply:
        """Give the entries numbered after `since`. Who begins at 0 need not know an epoch."""
        return PullReply.model_validate_json(self.pull_text(since, limit, epoch))

    def pull_text(self, since: int, limit: int, epoch: str = "") -> str:
        """The same as JSON, with the bodies verbatim."""
        if since < 0 or not 1 <= limit <= MAX_PULL_ENTRIES:
            raise BadInputError(
                say("“since” is at least 0, and “limit” from 1 to {most}.", most=MAX_PULL_ENTRIES), "limit"
            )
        with self._database.reading() as connection:
            found = page(connection, self._device.group, since, limit)
        if epoch or since:
            _refuse_other_epoch(epoch, found.counter)
        if since > found.counter.newest:
            raise _start_over(found.counter)
        return _page_text(found, since, self._clock())


def _refuse_other_epoch(known: str, counter: Counter) -> None:
    if known != counter.epoch:
        raise _start_over(counter)


def _start_over(counter: Counter) -> StartOverError:
    sentence = say(
        "This server was put back to an earlier state. Nothing was stored; send and fetch everything again."
    )
    return StartOverError(sentence, counter.epoch)


def hello(server_time: str) -> Hello:
    """Who answers here, and its limits."""
    return Hello(service="pomeward", server_time=server_time, version=PROTOCOL_VERSION, knows=kinds_known())


def _page_text(found: Page, since: int, server_time: str) -> str:
    to = found.entries[-1][0] if found.entries else since
    items = ",".join([f'{{"seq":{seq},"entry":{body}}}' for seq, body in found.entries])
    stands = f'"epoch":"{found.counter.epoch}","digest":"{found.counter.digest}","max":{found.counter.newest}'
    head = f'{stands},"server_time":"{server_time}","since":{since},"to":{to}'
    return f'{{{head},"items":[{items}]}}'

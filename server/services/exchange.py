"""The exchange of one device with its group: takes entries, gives entries. A SyncServer; no HTTP inside.

"Every entry gets an answer of its own, the same one each time it is sent, and a bad one never holds up the others."
"""

from collections.abc import Callable, Sequence

import orjson

from server.database import held_back
from server.database.engine import Database
from server.database.entries import LockedLog, Page, page
from server.database.members import Device
from server.services.failures import CursorAheadError
from server.services.moments import now_utc
from server.services.push_body import read_push
from server.services.verdicts import Answer, Judged, Settlement, check, ids_of, refused
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.protocol import (
    MAX_PULL_ENTRIES,
    PROTOCOL_VERSION,
    Hello,
    PullReply,
    PushReply,
)
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

    def push(self, bodies: Sequence[str]) -> PushReply:
        """Take entries (their canonical texts), oldest first."""
        text = self.push_text(f'{{"entries":[{",".join(bodies)}]}}'.encode())
        return PushReply.model_validate_json(text)

    def push_text(self, body: bytes) -> bytes:
        """The same from bytes to bytes; BadInputError or TooLargeError where the body is no push, and nothing is kept."""
        received = read_push(body)
        now = self._clock()
        if self._device.role is Role.VIEWER:
            answers = [refused(*numbered) for numbered in enumerate(received)]
        else:
            answers = self._store([check(one) for one in received], now)
        return orjson.dumps({"server_time": now, "results": answers})

    def _store(self, judged: list[Judged], now: str) -> list[Answer]:
        """One transaction: lock the group, see what is known, append the rest, keep aside what is bad."""
        group, via = self._device.group, self._device.id
        ids = ids_of(judged)
        with self._database.writing() as connection:
            log = LockedLog(connection, group)
            settlement = Settlement(log.known(ids), log.newest)
            answers = settlement.answers(judged, ids)
            log.append(settlement.new, now, via)
            held_back.keep(connection, group, settlement.held, now, via)
        return answers

    def pull(self, since: int, limit: int) -> PullReply:
        """Give the entries numbered after `since`."""
        return PullReply.model_validate_json(self.pull_text(since, limit))

    def pull_text(self, since: int, limit: int) -> str:
        """The same as JSON, with the bodies verbatim."""
        if since < 0 or not 1 <= limit <= MAX_PULL_ENTRIES:
            raise BadInputError(
                say("“since” is at least 0, and “limit” from 1 to {most}.", most=MAX_PULL_ENTRIES), "limit"
            )
        with self._database.reading() as connection:
            found = page(connection, self._device.group, since, limit)
        if since > found.newest:
            raise CursorAheadError(
                say("This server has fewer records than were fetched from it before; fetch them all again.")
            )
        return _page_text(found, since, self._clock())


def hello(server_time: str) -> Hello:
    """Who answers here, and its limits."""
    return Hello(service="pomeward", server_time=server_time, version=PROTOCOL_VERSION)


def _page_text(found: Page, since: int, server_time: str) -> str:
    to = found.entries[-1][0] if found.entries else since
    items = ",".join([f'{{"seq":{seq},"entry":{body}}}' for seq, body in found.entries])
    head = f'"server_time":"{server_time}","since":{since},"to":{to},"max":{found.newest}'
    return f'{{{head},"items":[{items}]}}'

"""What this phone still has to tell the server, and what the server answered. Knows no network.

"Only the server's answer makes an entry shared." Answers to one batch are taken in one transaction.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import and_, delete, or_, select, update

from mobile.storage.database import Database, Line
from mobile.storage.held_back import let_go_of_mended
from mobile.storage.numbering import number
from mobile.storage.outbox import Waits
from mobile.storage.own_tables import OUTBOX
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, OWN_GROUP


@dataclass(frozen=True, slots=True)
class Waiting:
    """An entry that waits to be shared, and the text to send."""

    id: str
    rec: str
    body: str

    @property
    def size(self) -> int:
        """Length of the text [bytes]."""
        return len(self.body.encode())


@dataclass(frozen=True, slots=True)
class Attempt:
    """To which server version, with which token (its fingerprint), something was tried."""

    version: str
    token: str


@dataclass(frozen=True, slots=True)
class Answer:
    """The server's answer for one entry: its number where it is shared, else why it stands aside."""

    entry: Waiting
    seq: int | None = None
    aside: Waits | None = None
    field: str | None = None
    code: str | None = None
    sentence: str | None = None


class Outgoing:
    """The outbox as the exchange sees it."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def oldest(self, most: int, most_bytes: int) -> list[Waiting]:
        """The oldest entries that wait, as many as fit; always one where any waits."""
        matching = and_(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id == OUTBOX.c.id)
        waiting = (
            select(OUTBOX.c.id, OUTBOX.c.rec, ENTRY.c.body)
            .join(ENTRY, matching)
            .where(OUTBOX.c.state == Waits.WAITING.value)
        )
        with self._database.reading() as core:
            rows = core.execute(waiting.order_by(OUTBOX.c.id).limit(most))
            return _that_fit([Waiting(*row) for row in rows], most_bytes)

    def settle(self, answers: Sequence[Answer], attempt: Attempt) -> None:
        """Take the answers to one batch: shared entries leave the outbox, the others stand aside with the reason."""
        with self._database.writing() as line:
            shared = {answer.entry.id: answer.seq for answer in answers if answer.aside is None}
            numbers = {entry_id: seq for entry_id, seq in shared.items() if seq is not None}
            number(line, numbers)
            leave(line, list(shared))
            for answer in answers:
                if answer.aside is not None:
                    _put_aside(line, answer, attempt)
            state.refold_touched(line.core, OWN_GROUP)
            let_go_of_mended(line)

    def try_again(self, attempt: Attempt) -> None:
        """Let entries wait again whose refusal may be over: another server version, another token, a new try."""
        changed = or_(OUTBOX.c.tried_version != attempt.version, OUTBOX.c.tried_token != attempt.token)
        may_pass = and_(OUTBOX.c.state.in_((Waits.LATER.value, Waits.REFUSED.value)), changed)
        again = or_(may_pass, OUTBOX.c.state == Waits.STUCK.value)
        with self._database.writing() as line:
            line.core.execute(update(OUTBOX).where(again).values(**_NO_REASON, state=Waits.WAITING.value))


def leave(line: Line, ids: Sequence[str]) -> None:
    """Take entries that are shared out of the outbox."""
    for part in entry_log.chunks(ids):
        line.core.execute(delete(OUTBOX).where(OUTBOX.c.id.in_(part)))


def _put_aside(line: Line, answer: Answer, attempt: Attempt) -> None:
    reason: dict[str, Any] = {
        "state": (answer.aside or Waits.STUCK).value,
        "field": answer.field,
        "code": answer.code,
        "sentence": answer.sentence,
        "tried_version": attempt.version,
        "tried_token": attempt.token,
    }
    line.core.execute(update(OUTBOX).where(OUTBOX.c.id == answer.entry.id).values(reason))
    if answer.aside is Waits.HELD_BACK:  # folded nowhere, here as little as in the group
        entry_log.set_aside(line.core, OWN_GROUP, answer.entry.id, answer.entry.rec, True)


def _that_fit(waiting: list[Waiting], most_bytes: int) -> list[Waiting]:
    room = most_bytes
    for count, entry in enumerate(waiting):
        room -= entry.size + 1  # and a comma
        if room < 0:
            return waiting[: max(count, 1)]
    return waiting


_NO_REASON: dict[str, None] = dict.fromkeys(("field", "code", "sentence", "tried_version", "tried_token"))

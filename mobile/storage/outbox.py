"""What is not shared yet, entry by entry, and why; and what cannot be shown here. Knows no server and no record kinds.

Three states for the person: on this phone (waiting), shared (no longer here), needs a look (everything else).
"""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from sqlalchemy import Connection, Row, and_, exists, func, not_, or_, select

from mobile.storage import facts, held_back
from mobile.storage.facts import Fact
from mobile.storage.held_back import TAKEN, waiting_for
from mobile.storage.own_tables import ASIDE, OUTBOX
from shared_models.language import say
from shared_models.store.tables import ENTRY, OWN_GROUP, TOUCHED


class Waits(StrEnum):
    """Why an entry is in the outbox; all but `waiting` stand aside and hold nothing up.

    Held back: the server keeps it until somebody mends it. Refused: not allowed, or too large for this server.
    Later: the server is too old for it. Stuck: the server failed on it; the next exchange tries it again.
    Unfolded is never in the outbox: a record, of this phone or of others, that this app cannot show.
    """

    WAITING = "waiting"
    HELD_BACK = held_back.HELD_BACK
    REFUSED = "refused"
    LATER = "later"
    STUCK = "stuck"
    UNFOLDED = "unfolded"


_HELD_BACK = OUTBOX.c.state == Waits.HELD_BACK.value
_IN_OUTBOX = exists().where(OUTBOX.c.id == ENTRY.c.id)
_OF_OTHERS = or_(ENTRY.c.seq.is_not(None), and_(_IN_OUTBOX, not_(_IN_OUTBOX.where(_HELD_BACK))))
UNREAD = and_(ASIDE, _OF_OTHERS)
"""Entries that came from the group or in a copy, and this app cannot read yet. They and what is held back are folded
nowhere; in a copy and after starting over they wait to be sent like all others, so that the outbox tells the two apart."""


@dataclass(frozen=True, slots=True)
class NeedsALook:
    """An entry that the server did not take or this app cannot show, and the sentence that says why.

    `waiting_for_it` is how much of what the group has stands in no report until this is mended.
    """

    id: str
    rec: str
    kind: str
    state: Waits
    field: str | None
    sentence: str
    waiting_for_it: int = 0


@dataclass(frozen=True, slots=True)
class SharingState:
    """How much waits to be shared, what needs a look, how much is shared, and when phone and server last talked.

    `unread` is how many records hold something that only a newer app can read; that needs a look too, as a number.
    """

    waiting: int
    needs_a_look: list[NeedsALook] = field(default_factory=list)
    shared: int = 0
    exchanged_at: str | None = None
    unread: int = 0

    @property
    def look_count(self) -> int:
        """How many records need a look, those that cannot be read among them."""
        return len(self.needs_a_look) + self.unread


def sharing_state(core: Connection) -> SharingState:
    """How things stand between this phone and the group's server."""
    shared = select(func.count()).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.seq.is_not(None))
    return SharingState(
        waiting=waiting_count(core),
        needs_a_look=that_need_a_look(core),
        shared=core.execute(shared).scalar_one(),
        exchanged_at=facts.read(core, Fact.EXCHANGED_AT),
        unread=core.execute(_UNREAD_RECORDS).scalar_one(),
    )


def waiting_count(core: Connection) -> int:
    """How many entries wait to be shared."""
    waiting = select(func.count()).select_from(OUTBOX).where(OUTBOX.c.state == Waits.WAITING.value)
    return core.execute(waiting).scalar_one()


def that_need_a_look(core: Connection) -> list[NeedsALook]:
    """All that stand aside, oldest first; then what cannot be shown. What is unread is counted elsewhere."""
    aside = select(OUTBOX).where(OUTBOX.c.state != Waits.WAITING.value, or_(_HELD_BACK, _READABLE))
    return [_look(core, row) for row in core.execute(aside.order_by(OUTBOX.c.id)).all()] + _unfolded(core)


def _look(core: Connection, row: Row[Any]) -> NeedsALook:
    state, sentence = Waits(row.state), row.sentence or ""
    if state is not Waits.HELD_BACK or row.code == TAKEN:
        return NeedsALook(row.id, row.rec, row.kind, state, row.field, sentence)
    waiting = waiting_for(core, row.rec)
    whole = f"{sentence} {waiting.sentence()}" if waiting.total else sentence
    return NeedsALook(row.id, row.rec, row.kind, state, row.field, whole, waiting.total)


def _unfolded(core: Connection) -> list[NeedsALook]:
    of_record = and_(ENTRY.c.group_id == TOUCHED.c.group_id, ENTRY.c.rec == TOUCHED.c.rec)
    first = select(func.min(ENTRY.c.id), ENTRY.c.rec, ENTRY.c.kind).join(TOUCHED, of_record)
    rows = core.execute(first.where(TOUCHED.c.group_id == OWN_GROUP).group_by(ENTRY.c.rec))
    sentence = say(
        "This app cannot show this record, so it is counted nowhere. It is kept as it came; update the app."
    )
    return [NeedsALook(*row, Waits.UNFOLDED, None, sentence) for row in rows]


_UNREAD_RECORDS = select(func.count(ENTRY.c.rec.distinct())).where(UNREAD)
_READABLE = not_(exists().where(ASIDE, ENTRY.c.id == OUTBOX.c.id))

"""What is not shared yet, entry by entry, and why. Knows no server and no record kinds.

Three states for the person: on this phone (waiting), shared (no longer here), needs a look (everything else).
"""

from dataclasses import dataclass, field
from enum import StrEnum

from sqlalchemy import Connection, func, select

from mobile.storage import facts
from mobile.storage.facts import Fact
from mobile.storage.own_tables import OUTBOX
from shared_models.store.tables import ENTRY, OWN_GROUP


class Waits(StrEnum):
    """Why an entry is in the outbox; all but `waiting` stand aside and hold nothing up.

    Held back: the server keeps it until somebody mends it. Refused: not allowed, or too large for this server.
    Later: the server is too old for it. Stuck: the server failed on it; the next exchange tries it again.
    """

    WAITING = "waiting"
    HELD_BACK = "held_back"
    REFUSED = "refused"
    LATER = "later"
    STUCK = "stuck"


@dataclass(frozen=True, slots=True)
class NeedsALook:
    """An entry that the server did not take, and the sentence that says why."""

    id: str
    rec: str
    kind: str
    state: Waits
    field: str | None
    sentence: str


@dataclass(frozen=True, slots=True)
class SharingState:
    """How much waits to be shared, what needs a look, how much is shared, and when phone and server last talked."""

    waiting: int
    needs_a_look: list[NeedsALook] = field(default_factory=list)
    shared: int = 0
    exchanged_at: str | None = None


def sharing_state(core: Connection) -> SharingState:
    """How things stand between this phone and the group's server."""
    shared = select(func.count()).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.seq.is_not(None))
    return SharingState(
        waiting=waiting_count(core),
        needs_a_look=that_need_a_look(core),
        shared=core.execute(shared).scalar_one(),
        exchanged_at=facts.read(core, Fact.EXCHANGED_AT),
    )


def waiting_count(core: Connection) -> int:
    """How many entries wait to be shared."""
    waiting = select(func.count()).select_from(OUTBOX).where(OUTBOX.c.state == Waits.WAITING.value)
    return core.execute(waiting).scalar_one()


def that_need_a_look(core: Connection) -> list[NeedsALook]:
    """All that stand aside, oldest first."""
    aside = select(OUTBOX).where(OUTBOX.c.state != Waits.WAITING.value).order_by(OUTBOX.c.id)
    return [
        NeedsALook(row.id, row.rec, row.kind, Waits(row.state), row.field, row.sentence or "")
        for row in core.execute(aside)
    ]

"""Looks through the texts of what is shared, whether each still is what it was, and keeps what was found. No network.

The digest grows with each entry and would never notice that a disk has changed one. So it is worked out anew from the
texts themselves, once a day and whenever phone and server turn out to hold different entries. A text that was damaged
gives its place to the group's when everything is fetched again.
"""

from collections.abc import Callable, Iterator
from datetime import datetime

from sqlalchemy import func, select, update

from mobile.storage import facts
from mobile.storage.database import Database
from mobile.storage.facts import Fact
from mobile.storage.numbering import DAMAGED, start_over
from shared_models.digest import NOTHING, added
from shared_models.entries import text_hash
from shared_models.store import entry_log
from shared_models.store.tables import ENTRY, OWN_GROUP

_AT_ONCE = 2000  # entries; a phone with years of them must not hold all their texts at a time
_SHARED = select(ENTRY.c.seq, ENTRY.c.id, ENTRY.c.hash, ENTRY.c.body).where(
    ENTRY.c.group_id == OWN_GROUP, ENTRY.c.seq.is_not(None)
)

_HOW_MANY = select(func.count()).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.seq.is_not(None))


class Looking:
    """What this phone knows of the state of its own copy."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database = database
        self._clock = clock

    def look_through_daily(self) -> None:
        """Look through everything that is shared, the first time on each day."""
        today = self._clock().date().isoformat()
        with self._database.reading() as core:
            looked = facts.read(core, Fact.LOOKED_THROUGH)
        if looked != today:
            self.look_through()
            with self._database.writing() as line:
                facts.note(line.core, {Fact.LOOKED_THROUGH: today})

    def look_through(self) -> int:
        """Work out the digest anew from the texts; returns how many were damaged. They are fetched again."""
        damaged, digest, count = [], NOTHING, 0
        for rows in self._shared():
            found = [(entry_id, known, text_hash(body)) for _, entry_id, known, body in rows]
            damaged += [entry_id for entry_id, known, now in found if known != now]
            digest = added(digest, [now for _, _, now in found])
            count += len(found)
        with self._database.writing() as line:
            shared = line.core.execute(_HOW_MANY).scalar_one()
            for part in entry_log.chunks(damaged):
                which = ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id.in_(part)
                line.core.execute(update(ENTRY).where(*which).values(hash=DAMAGED))
            if damaged:
                start_over(line)
            elif shared == count:  # nothing was shared meanwhile
                facts.note(line.core, {Fact.DIGEST: digest})
        return len(damaged)

    def note_difference(self, stands: str) -> None:
        """Remember where the server stood when fetching everything again did not mend a difference; empty: none."""
        if stands != self.difference():
            with self._database.writing() as line:
                facts.note(line.core, {Fact.DIFFERS: stands})

    def difference(self) -> str:
        """Where the server stood when the last exchange found a difference and could not mend it; empty: none."""
        with self._database.reading() as core:
            return facts.read(core, Fact.DIFFERS) or ""

    def _shared(self) -> Iterator[list[tuple[int, str, str, str]]]:
        since = 0
        while True:
            with self._database.reading() as core:
                after = _SHARED.where(ENTRY.c.seq > since).order_by(ENTRY.c.seq).limit(_AT_ONCE)
                rows = [tuple(row) for row in core.execute(after)]
            if not rows:
                return
            yield rows
            since = rows[-1][0]

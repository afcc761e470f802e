"""What is done so that a damaged file loses nothing: the second place of what is not shared, the daily copy, the check.

All but `added` takes time, so it belongs on a thread that nobody waits for; touches go on meanwhile.
"""

import logging
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

from sqlalchemy import and_, exists, func, select

from mobile.storage import backups, facts
from mobile.storage.beside import Beside
from mobile.storage.database import Database
from mobile.storage.facts import Fact, Identity
from mobile.storage.failures import DamagedError, damaged, told_in_sentences
from mobile.storage.own_tables import OUTBOX
from mobile.storage.saved import Saved, told
from mobile.storage.soundness import is_whole
from mobile.storage.unsent import Unsent
from shared_models.entries import text_hash
from shared_models.errors import StoreError
from shared_models.store.tables import ENTRY, OWN_GROUP

LOG = logging.getLogger(__name__)
BETWEEN_CHECKS = timedelta(days=7)
GROWN = 1 << 20  # [bytes] below it nobody minds what the file holds beyond what waits
TIMES_TOO_LONG = 4
_WAITS = and_(ENTRY.c.group_id == OWN_GROUP, exists().where(OUTBOX.c.id == ENTRY.c.id))


class SafeKeeping:
    """Looks after one open file."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database = database
        self._clock = clock
        self._beside = Beside(database.path)
        self._unsent = Unsent(self._beside.unsent)
        if not self._unsent.size:
            with suppress(DamagedError):  # it is noted, and the next start puts it in order
                self._write_unsent_anew()

    def begun(self, identity: Identity) -> None:
        """The phone has an owner from now on."""
        self._unsent.name_owner(identity)

    def added(self, bodies: Sequence[str]) -> None:
        """Entries were committed; cheap enough for every touch."""
        if bodies:
            self._unsent.add(bodies)

    def much_was_added(self) -> None:
        """What waits grew by more than touches: it is written down anew. Raises nothing."""
        try:
            self._write_unsent_anew()
        except StoreError as fault:
            LOG.warning("The list of what is not shared could not be made (%s).", fault)

    def keep_safe(self) -> None:
        """Make the day's copy and tidy up: after an exchange, and when the app is put away. Raises nothing."""
        try:
            self._keep_safe()
        except StoreError as fault:
            LOG.warning("The file could not be looked after (%s).", fault)

    def check_if_due(self) -> bool:
        """Look at the whole file once a week; False where it is damaged, which the next start puts in order."""
        now = self._clock()
        with self._database.reading() as core:
            if not _is_a_week_ago(facts.read(core, Fact.CHECKED_AT), now):
                return True
        with told_in_sentences(self._database.path):
            whole = is_whole(self._database.path)
        if not whole:
            self._database.note_damage()
            return False
        with self._database.writing() as line:
            facts.note(line.core, {Fact.CHECKED_AT: now.isoformat(timespec="seconds")})
        return True

    def saved(self) -> list[Saved]:
        """What was saved from damaged files and is not read yet, oldest first."""
        with self._database.reading() as core:
            return told(facts.read(core, Fact.SAVED))

    def saved_was_read(self) -> None:
        """Tell it no more."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.SAVED: "[]"})

    def close(self) -> None:
        """Let go of everything."""
        self._unsent.close()

    def _keep_safe(self) -> None:
        if self._beside.suspect.exists():
            return  # what there is of copies and list is better than what could be made of this file
        with self._database.reading() as core:
            if facts.identity(core) is None:
                return
        self._tidy_unsent()
        if backups.is_due(self._beside, self._clock()) and backups.back_up(self._beside, self._clock()):
            self._write_unsent_anew()  # once a day: whatever the device refused to write of it is in it again

    def _tidy_unsent(self) -> None:
        with self._database.reading() as core:
            waiting = (
                core.execute(select(func.sum(func.length(ENTRY.c.body))).where(_WAITS)).scalar_one() or 0
            )
        room = TIMES_TOO_LONG * waiting + (GROWN if waiting else 0)
        if self._unsent.size > room and next(self._unsent.bodies(), None) is not None:
            self._write_unsent_anew()

    def _write_unsent_anew(self) -> None:
        with self._database.reading() as core:
            identity = facts.identity(core)
        if identity is not None:
            self._unsent.make_anew(identity, self._waiting_bodies)

    def _waiting_bodies(self) -> Iterable[str]:
        with self._database.reading() as core:
            found = core.execute(select(ENTRY.c.body, ENTRY.c.hash).where(_WAITS).order_by(ENTRY.c.id)).all()
        # A text that the disk has altered must not take the place of a good one.
        if any(text_hash(body) != known for body, known in found):
            self._database.note_damage()
            raise DamagedError(damaged(self._database.path))
        return [body for body, _ in found]


def _is_a_week_ago(checked_at: str | None, now: datetime) -> bool:
    """Whether the last check is a week old; a clock that was set back makes it due, too."""
    return checked_at is None or abs(now - datetime.fromisoformat(checked_at)) >= BETWEEN_CHECKS

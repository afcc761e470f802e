"""Writes what a person records: entry, state, outbox and last stamp, in a transaction that somebody else holds.

A fresh record is the fold of its one entry. An entry on a record that is there already is folded from the log.
"""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection

from mobile.storage.database import Line
from mobile.storage.drafts import Circumstances, Draft, sealed
from mobile.storage.facts import Identity
from mobile.storage.settling import settling
from mobile.storage.touch import TouchStatements, has_record, last_stamp
from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold
from shared_models.identifiers import is_derived, new_id
from shared_models.records.kinds import is_known
from shared_models.stamps import EARLIEST_MS, LATEST_MS, HybridClock
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP


class Pen:
    """One author at one moment. Ids and stamps keep step: a touch is always later than the one before."""

    def __init__(self, line: Line, statements: TouchStatements, author: Identity, now: datetime) -> None:
        self._line = line
        self._statements = statements
        self._author = author
        self._now = now
        # Read inside the transaction: another process may have written since.
        self._clock = HybridClock(last_stamp(line.driver))
        self._ms = _later_than(self._clock.last, int(now.timestamp() * 1000))
        self.written: list[str] = []  # the text of each entry, in order

    def write(self, drafts: Sequence[Draft]) -> list[str]:
        """Write drafts in their order; returns the ids of their records."""
        # In order within their millisecond too: the newest mark is the one with the greatest id.
        ids = sorted(new_id(self._ms) for _ in drafts)
        recs = [self._write(draft, entry_id) for draft, entry_id in zip(drafts, ids, strict=True)]
        self._statements.note_stamp(self._line.driver, self._clock.last)
        return recs

    def _write(self, draft: Draft, entry_id: str) -> str:
        fresh = draft.rec is None or not has_record(self._line.driver, draft.rec)
        told = [] if fresh or draft.rec is None else _told(self._line.core, draft.rec)
        earlier = _folded(told)
        for besides in settling(draft, told, earlier):
            told.append(self._log(besides, new_id(self._ms), False, earlier))
        # Two phones may make a record of one derived id while apart; then their entries must not share an id too.
        makes_its_id = fresh and draft.rec is not None and not is_derived(draft.rec)
        own_id = draft.rec if makes_its_id and draft.rec else entry_id
        entry = self._log(draft, own_id, fresh, earlier)
        if fresh:
            self._statements.write_state(self._line.driver, fold([entry]))
        else:
            state.refold_from(self._line.core, OWN_GROUP, entry.rec, [*told, entry])
        return entry.rec

    def _log(self, draft: Draft, entry_id: str, fresh: bool, earlier: FoldedRecord | None) -> Entry:
        """Fix the bytes of a draft and add it to the log."""
        made = Circumstances(self._author, self._now, entry_id, self._clock.tick(self._ms))
        entry = sealed(draft, made, fresh, earlier)
        self._statements.log(self._line.driver, entry)
        self.written.append(entry.body)
        return entry.entry


def folded_from_log(core: Connection, rec: str) -> FoldedRecord | None:
    """A record of any kind, folded from its entries; None where none of them is folded here."""
    return _folded(_told(core, rec))


def _told(core: Connection, rec: str) -> list[Entry]:
    """All entries of a record."""
    return [*entry_log.of_records(core, OWN_GROUP, [rec])]


def _folded(entries: list[Entry]) -> FoldedRecord | None:
    readable = [entry for entry in entries if is_known(entry.kind, entry.v)]
    return fold(readable) if readable else None


def _later_than(last: int, wall_ms: int) -> int:
    """The milliseconds of the next id and stamp: the wall clock, or one more than the last touch."""
    believed = wall_ms if EARLIEST_MS <= wall_ms <= LATEST_MS else EARLIEST_MS
    return max(believed, (last >> 16) + 1)

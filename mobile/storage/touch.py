"""The statements of a touch and of a pulled page, compiled once and run on the driver. Knows no rules, only rows.

Both have to be cheap: SQLAlchemy takes longer for each row than the disk does. The statements are the shared
ones; only the way to the database is shorter.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import Connection, Insert
from sqlalchemy.dialects import sqlite

from mobile.storage.facts import Fact
from mobile.storage.outbox import Waits
from mobile.storage.own_tables import OUTBOX, PHONE
from mobile.storage.received import Received
from shared_models.copy_file.lines import CopiedEntry
from shared_models.entries import SealedEntry
from shared_models.fold import FoldedRecord
from shared_models.records.tallies import TallyMark
from shared_models.stamps import written
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, MARK, OWN_GROUP, RECORD
from shared_models.store.upserts import insert_or_replace

_HAS_RECORD = "SELECT 1 FROM entry WHERE group_id = ? AND rec = ? LIMIT 1"
_LAST_STAMP = "SELECT value FROM phone WHERE name = ?"
_WAITING: dict[str, Any] = {column.name: None for column in OUTBOX.columns} | {"state": Waits.WAITING.value}


class TouchStatements:
    """Each takes the driver connection of a transaction that somebody else holds."""

    def __init__(self, core: Connection) -> None:
        self._entry = _compiled(ENTRY.insert())
        self._outbox = _compiled(OUTBOX.insert())
        self._mark = _compiled(insert_or_replace(core, MARK))
        self._record = _compiled(insert_or_replace(core, RECORD))
        self._fact = _compiled(insert_or_replace(core, PHONE))

    def log(self, driver: sqlite3.Connection, sealed: SealedEntry) -> None:
        """Add an entry to the log and to what waits to be shared."""
        entry = sealed.entry
        driver.execute(self._entry, entry_log.entry_row(OWN_GROUP, sealed))
        driver.execute(self._outbox, {**_WAITING, "id": entry.id, "rec": entry.rec, "kind": entry.kind})

    def log_received(self, driver: sqlite3.Connection, received: Iterable[Received]) -> None:
        """Add entries of the group to the log, each with its number; what cannot be read stands aside."""
        driver.executemany(
            self._entry,
            (
                {
                    **entry_log.entry_row(OWN_GROUP, one.sealed, one.seq),
                    "aside": not one.readable,
                }
                for one in received
            ),
        )

    def log_copied(self, driver: sqlite3.Connection, copied: Sequence[CopiedEntry]) -> None:
        """Add entries that came in a file, without a number; they wait to be shared like this phone's own."""
        driver.executemany(
            self._entry,
            ({**entry_log.entry_row(OWN_GROUP, one.sealed), "aside": not one.readable} for one in copied),
        )
        entries = (one.sealed.entry for one in copied)
        driver.executemany(
            self._outbox,
            ({**_WAITING, "id": entry.id, "rec": entry.rec, "kind": entry.kind} for entry in entries),
        )

    def write_state(self, driver: sqlite3.Connection, record: FoldedRecord) -> None:
        """Write the row of a folded record."""
        if record.kind == TallyMark.kind:
            driver.execute(self._mark, state.mark_row(OWN_GROUP, record))
        else:
            driver.execute(self._record, state.record_row(OWN_GROUP, record))

    def note_stamp(self, driver: sqlite3.Connection, stamp: int) -> None:
        """Keep the greatest stamp, so that the next one lies after it."""
        driver.execute(self._fact, {"name": Fact.LAST_STAMP.value, "value": written(stamp)})


def has_record(driver: sqlite3.Connection, rec: str) -> bool:
    """Whether any entry of this record is here."""
    return driver.execute(_HAS_RECORD, (OWN_GROUP, rec)).fetchone() is not None


def last_stamp(driver: sqlite3.Connection) -> int:
    """The greatest stamp that this phone gave or received."""
    row = driver.execute(_LAST_STAMP, (Fact.LAST_STAMP.value,)).fetchone()
    return int(row[0], 16) if row else 0


def _compiled(statement: Insert) -> str:
    return str(statement.compile(dialect=sqlite.dialect(paramstyle="named")))

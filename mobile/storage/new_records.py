"""Records that come from elsewhere: which of them are new to this phone, and how new ones are written. Knows no file, no page."""

from collections.abc import Collection, Sequence

from sqlalchemy import select

from mobile.storage.database import Line
from shared_models.fold import FoldedRecord
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, OWN_GROUP


def write_state(line: Line, records: Collection[FoldedRecord]) -> None:
    """Write new records at once; where one cannot be written, `refold_touched` finds it and writes the others."""
    try:
        state.write(line.core, OWN_GROUP, records)
    except state.UNFORESEEN:
        entry_log.touch(line.core, OWN_GROUP, {record.rec for record in records})


def with_entries(line: Line, recs: Sequence[str]) -> set[str]:
    """Those of these records that the log holds any entry of."""
    found: set[str] = set()
    for part in entry_log.chunks(recs):
        held = select(ENTRY.c.rec).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.rec.in_(part)).distinct()
        found.update(line.core.execute(held).scalars())
    return found

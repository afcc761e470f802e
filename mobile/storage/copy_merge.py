"""Entries of a copy, merged into log, state and outbox in a transaction that somebody else holds.

The same union by id as a page of the group's entries, but without numbers: what is new here waits to be shared, so that
the group's server gets it from this phone, whoever recorded it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select, update

from mobile.storage.database import Line
from mobile.storage.new_records import with_entries, write_state
from mobile.storage.outbox import Waits
from mobile.storage.own_tables import OUTBOX
from mobile.storage.received import greatest_stamp
from mobile.storage.taken_ids import is_same
from mobile.storage.touch import TouchStatements, last_stamp
from shared_models.copy_file.lines import CopiedEntry
from shared_models.entries import text_hash
from shared_models.fold import fold_all
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, OWN_GROUP
from shared_models.store.upserts import insert_or_replace


@dataclass(frozen=True, slots=True)
class Merged:
    """How many entries were new, how many of these this app cannot read, and which (by their place) met another entry."""

    new: int
    unread: int
    unlike: frozenset[int]


def merge_copied(line: Line, statements: TouchStatements, copied: Sequence[CopiedEntry]) -> Merged:
    """Take in what is new; where another entry with an id is here, that one stays."""
    first: dict[str, CopiedEntry] = {}
    for one in copied:
        first.setdefault(one.id, one)
    here = entry_log.known(line.core, OWN_GROUP, list(first))
    new = [one for one in first.values() if one.id not in here]
    damaged = {entry_id for entry_id, known in here.items() if text_hash(known.body) != known.hash}
    _mend(line, [first[entry_id] for entry_id in sorted(damaged)])
    _append(line, statements, new)
    stamp = greatest_stamp(one.sealed.entry.stamp for one in new)
    statements.note_stamp(line.driver, max(last_stamp(line.driver), stamp))
    stands = {entry_id: known for entry_id, known in here.items() if entry_id not in damaged}
    unlike = (
        at for at, one in enumerate(copied) if not is_same(stands.get(one.id) or first[one.id].sealed, one)
    )
    return Merged(len(new), sum(not one.readable for one in new), frozenset(unlike))


def _mend(line: Line, whole: Sequence[CopiedEntry]) -> None:
    """Put texts in the place of ones that were damaged on this phone, as a page of the group would; they wait to be shared."""
    for one in whole:
        same_id = ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id == one.id
        before = line.core.execute(select(ENTRY.c.rec).where(*same_id)).scalar_one()
        row = entry_log.entry_row(OWN_GROUP, one.sealed)
        line.core.execute(update(ENTRY).where(*same_id).values(row | {"aside": not one.readable}))
        waits = {"id": one.id, "rec": one.sealed.entry.rec, "kind": one.sealed.entry.kind}
        line.core.execute(insert_or_replace(line.core, OUTBOX), [waits | {"state": Waits.WAITING.value}])
        entry_log.touch(line.core, OWN_GROUP, {before, one.sealed.entry.rec})


def _append(line: Line, statements: TouchStatements, new: Sequence[CopiedEntry]) -> None:
    readable = [one.sealed.entry for one in new if one.readable]
    earlier = with_entries(line, sorted({entry.rec for entry in readable}))
    statements.log_copied(line.driver, new)
    write_state(line, fold_all(entry for entry in readable if entry.rec not in earlier).values())
    entry_log.touch(line.core, OWN_GROUP, earlier)
    state.refold_touched(line.core, OWN_GROUP)

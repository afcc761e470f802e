"""A page of the group's entries, merged into log and state in a transaction that somebody else holds.

A record that is new to this phone is the fold of the page's own entries; one that was here before is folded from
the log. Either way it is the fold of all its entries.
"""

from collections.abc import Sequence

from sqlalchemy import select

from mobile.storage.database import Line
from mobile.storage.held_back import let_go_of_mended
from mobile.storage.new_records import with_entries, write_state
from mobile.storage.numbering import DAMAGED, note_shared, number, refuse_contradiction
from mobile.storage.outgoing import leave
from mobile.storage.own_tables import ASIDE
from mobile.storage.received import Received, newest_stamp
from mobile.storage.taken_ids import give_way, is_same, stand_in
from mobile.storage.touch import TouchStatements, last_stamp
from shared_models.fold import fold_all
from shared_models.store import entry_log, state
from shared_models.store.entry_log import LoggedEntry
from shared_models.store.tables import ENTRY, OWN_GROUP


def merge(line: Line, statements: TouchStatements, received: Sequence[Received]) -> int:
    """Take in what is new and recognise what was here; returns how many entries were new."""
    if not received:
        return 0
    numbers = {one.id: one.seq for one in received}
    here = entry_log.known(line.core, OWN_GROUP, list(numbers))
    refuse_contradiction(line, numbers, {entry_id: one.seq for entry_id, one in here.items()})
    new = [one for one in received if one.id not in here]
    _append(line, statements, new)
    note_shared(line, [one.sealed.hash for one in new])
    _recognise(line, _settle_texts(line, received, here), here)
    state.refold_touched(line.core, OWN_GROUP)
    let_go_of_mended(line)
    stamp = max(last_stamp(line.driver), newest_stamp(received))
    statements.note_stamp(line.driver, stamp)
    return len(new)


def _settle_texts(line: Line, received: Sequence[Received], here: dict[str, LoggedEntry]) -> list[Received]:
    """See that what is here under these ids is what the group has; returns what had it already."""
    same = []
    for one in received:
        known = here.get(one.id)
        if known is None or known.hash == one.sealed.hash:
            same.extend([one] if known else [])
        elif known.hash == DAMAGED or is_same(known, one):
            stand_in(line, known, one)
        else:
            give_way(line, known, one)
    return same


def _append(line: Line, statements: TouchStatements, new: Sequence[Received]) -> None:
    recs = {one.sealed.entry.rec for one in new}
    earlier = with_entries(line, sorted(recs))
    statements.log_received(line.driver, new)
    readable = (one.sealed.entry for one in new if one.readable)
    write_state(line, fold_all(entry for entry in readable if entry.rec not in earlier).values())
    entry_log.touch(line.core, OWN_GROUP, earlier)


def _recognise(line: Line, same: Sequence[Received], here: dict[str, LoggedEntry]) -> None:
    """Entries of this phone whose answer was lost, or that were held back and taken after all: the group has them."""
    own = [one for one in same if here[one.id].seq is None]
    number(line, {one.id: one.seq for one in own})
    leave(line, [one.id for one in own])
    readable = {one.id: one.sealed.entry.rec for one in own if one.readable}
    for part in entry_log.chunks(list(readable)):
        for entry_id in line.core.execute(select(ENTRY.c.id).where(ASIDE, ENTRY.c.id.in_(part))).scalars():
            entry_log.set_aside(line.core, OWN_GROUP, entry_id, readable[entry_id], False)

"""An entry of this phone whose id another entry of the group has: the group's stands, this phone's is kept apart.

Ids are random, so that this takes a fault; but phone and server have to agree even then. Knows no network.
"""

import json

from sqlalchemy import select, update

from mobile.storage.database import Line
from mobile.storage.held_back import TAKEN
from mobile.storage.numbering import note_shared
from mobile.storage.outbox import Waits
from mobile.storage.outgoing import leave
from mobile.storage.own_tables import OUTBOX
from mobile.storage.received import Received
from shared_models.copy_file.lines import CopiedEntry
from shared_models.entries import SealedEntry
from shared_models.identifiers import new_id
from shared_models.language import say
from shared_models.store import entry_log
from shared_models.store.entry_log import LoggedEntry
from shared_models.store.tables import ENTRY, OWN_GROUP

_COPY = """
    INSERT INTO entry (group_id, id, rec, kind, stamp, hash, body, aside)
    SELECT group_id, ?, rec, kind, stamp, hash, body, 1 FROM entry WHERE group_id = ? AND id = ?
"""
_MOST_SHOWN = 1000  # characters of a record in a sentence; the whole of it is in the log


def is_same(here: LoggedEntry | SealedEntry, received: Received | CopiedEntry) -> bool:
    """Whether both are one entry, however its text was written."""
    if here.hash == received.sealed.hash:
        return True
    return bool(json.loads(here.body) == json.loads(received.sealed.body))


def give_way(line: Line, here: LoggedEntry, received: Received) -> None:
    """Let the group's entry stand under the id that both have, and keep the one of this phone apart, with a sentence."""
    apart = new_id()
    line.driver.execute(_COPY, (apart, OWN_GROUP, here.id))
    leave(line, [here.id])
    own = json.loads(here.body)
    line.core.execute(
        OUTBOX.insert().values(
            id=apart,
            rec=own["rec"],
            kind=own["kind"],
            state=Waits.HELD_BACK.value,
            field="id",
            code=TAKEN,
            sentence=_sentence(own["f"]),
        )
    )
    stand_in(line, here, received)


def stand_in(line: Line, here: LoggedEntry, received: Received) -> None:
    """Put the group's text in the place of the one that is here: another layout, a damaged one, another entry's."""
    same_id = ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id == here.id
    before = line.core.execute(select(ENTRY.c.rec).where(*same_id)).scalar_one()
    row = entry_log.entry_row(OWN_GROUP, received.sealed, received.seq)
    line.core.execute(update(ENTRY).where(*same_id).values(row | {"aside": not received.readable}))
    leave(line, [here.id])
    note_shared(line, [received.sealed.hash], gone=[here.hash] if here.seq is not None else [])
    entry_log.touch(line.core, OWN_GROUP, {before, received.sealed.entry.rec})


def _sentence(fields: object) -> str:
    told = json.dumps(fields, ensure_ascii=False)
    return say(
        "Another record of the group has this id and is the one that counts. Yours was kept on this phone and "
        "counts nowhere; record it again to share it: {fields}",
        fields=told if len(told) <= _MOST_SHOWN else told[:_MOST_SHOWN] + "…",
    )

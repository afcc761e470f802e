"""What a group's records hold for people to decide, read from the state tables; the caller has called `refold_touched`.

Only records that the fold marked are read whole, however many entries there are.
"""

import json
from collections.abc import Collection, Sequence
from itertools import groupby

from sqlalchemy import Connection, func, select

from shared_models.blind_edits import ORDER, BlindEdit, blind_edits, heads
from shared_models.entries import Entry
from shared_models.fold import in_order
from shared_models.records.kinds import THAT_CHANGE, is_known, record_of
from shared_models.records.traps import TrapVisit
from shared_models.season.double_counts import DoubleCount, double_counts
from shared_models.store import entry_log, state
from shared_models.store.tables import RECORD

_OPEN = RECORD.c.blind.is_not(None), RECORD.c.kind.in_(sorted(THAT_CHANGE))


def open_blind_edits(
    connection: Connection, group: str, recs: Sequence[str] | None = None
) -> list[BlindEdit]:
    """Blind edits that nobody has settled, of these records or of all, by record and field."""
    wanted = [] if recs is None else [RECORD.c.rec.in_(sorted(recs))]
    marked = select(RECORD.c.rec).where(RECORD.c.group_id == group, *_OPEN, *wanted)
    entries = entry_log.of_records(connection, group, sorted(connection.execute(marked).scalars()))
    readable = sorted((one for one in entries if is_known(one.kind, one.v)), key=lambda one: one.rec)
    return [
        one
        for _, of_record in groupby(readable, lambda entry: entry.rec)
        for one in blind_edits(in_order(of_record))
    ]


def count_open_blind_edits(connection: Connection, group: str) -> int:
    """How many `blind_edits.together` makes of them, without reading a single entry."""
    marked = select(RECORD.c.kind, RECORD.c.blind).where(RECORD.c.group_id == group, *_OPEN)
    found = [(kind, name) for kind, fields in connection.execute(marked) for name in json.loads(fields)]
    orders = [kind for kind, name in found if name == ORDER]
    return len(found) - len(orders) + len(set(orders))


def open_heads(connection: Connection, group: str, rec: str, field: str) -> list[Entry]:
    """The entries of a field of a record that no other one replaced, oldest first; empty where there is no such."""
    entries = entry_log.of_records(connection, group, [rec])
    readable = [one for one in entries if is_known(one.kind, one.v)]
    setting = in_order(readable) if readable else []
    return heads(setting, field) if any(field in one.f for one in setting) else []


def open_double_counts(connection: Connection, group: str, claims: Collection[str]) -> list[DoubleCount]:
    """Every trap counted twice that nobody has decided, among visits with these claims, also those taken back."""
    if not claims:
        return []
    rows = select(RECORD).where(RECORD.c.group_id == group, RECORD.c.claim.in_(sorted(claims)))
    typed = [(one.deleted, record_of(one)) for one in state.folded_rows(connection, rows)]
    live = [visit for deleted, visit in typed if isinstance(visit, TrapVisit) and not deleted]
    undone = [visit for deleted, visit in typed if isinstance(visit, TrapVisit) and deleted]
    return double_counts(live, undone)


def shared_claims(connection: Connection, group: str, recs: Collection[str] | None = None) -> set[str]:
    """The claims that several visits have: all, or those of these records."""
    claims = select(RECORD.c.claim).where(RECORD.c.group_id == group, RECORD.c.claim.is_not(None))
    if recs is not None:
        claims = claims.where(RECORD.c.claim.in_(claims.where(RECORD.c.rec.in_(sorted(recs)))))
    return set(connection.execute(claims.group_by(RECORD.c.claim).having(func.count() > 1)).scalars())

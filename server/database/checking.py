"""Whether the log of a group is what it was when it was taken in, and its state what follows from it. Changes nothing."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import Connection, Table, select

from server.database.entries import counter_of
from server.database.season import bring_up_to_log, rebuild
from shared_models.digest import NOTHING, added
from shared_models.entries import text_hash
from shared_models.store import state
from shared_models.store.tables import ENTRY, MARK, RECORD

_AT_ONCE = 1000


@dataclass(frozen=True, slots=True)
class LogLook:
    """The log, looked through: how many entries, which numbers up to the newest are missing, which entries changed."""

    entries: int
    newest: int
    missing: tuple[int, ...]
    beyond: tuple[int, ...]
    changed: tuple[str, ...]
    digest_is_right: bool


@dataclass(frozen=True, slots=True)
class StateLook:
    """State beside what follows from the log: how many records do, which stand there otherwise, which cannot be folded."""

    records: int
    otherwise: tuple[str, ...]
    unfolded: tuple[str, ...]


def look_through_log(connection: Connection, group: str) -> LogLook:
    """Read every entry and compare it with its hash, all numbers with the counter, all hashes with the digest.

    Needs a transaction that sees one moment; nobody has to wait for it.
    """
    counter = counter_of(connection, group)
    chosen = select(ENTRY.c.id, ENTRY.c.seq, ENTRY.c.hash, ENTRY.c.body).where(ENTRY.c.group_id == group)
    numbers: set[int] = set()
    hashes, changed, count = [], [], 0
    for entry_id, seq, noted, body in connection.execute(chosen.execution_options(yield_per=_AT_ONCE)):
        count += 1
        numbers.add(seq)
        found = text_hash(body)
        hashes.append(found)
        if found != noted:
            changed.append(entry_id)
    expected = set(range(1, counter.newest + 1))
    return LogLook(
        entries=count,
        newest=counter.newest,
        missing=tuple(sorted(expected - numbers)),
        beyond=tuple(sorted(numbers - expected)),
        changed=tuple(sorted(changed)),
        digest_is_right=added(NOTHING, hashes) == counter.digest,
    )


def compare_state(connection: Connection, group: str) -> StateLook:
    """Fold everything anew beside what is there and compare; what is there stays.

    Needs a transaction that writes: it holds the group's counter, so that nobody appends meanwhile.
    """
    bring_up_to_log(connection, group)
    stands = _state(connection, group)
    beside = connection.begin_nested()
    records = rebuild(connection, group)
    follows = _state(connection, group)
    unfolded = state.unfolded(connection, group)
    beside.rollback()
    otherwise = {rec for rec in stands.keys() | follows.keys() if stands.get(rec) != follows.get(rec)}
    return StateLook(records, tuple(sorted(otherwise)), tuple(unfolded))


def _state(connection: Connection, group: str) -> dict[str, str]:
    """Each record with the hash of its row."""
    return {rec: row for table in (RECORD, MARK) for rec, row in _rows(connection, table, group)}


def _rows(connection: Connection, table: Table, group: str) -> list[tuple[str, str]]:
    chosen = select(table).where(table.c.group_id == group)
    found = connection.execute(chosen.execution_options(yield_per=_AT_ONCE)).mappings()
    return [
        (row["rec"], hashlib.sha256(repr((table.name, *row.values())).encode()).hexdigest()) for row in found
    ]

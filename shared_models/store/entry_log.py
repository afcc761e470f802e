"""The entry log in SQL: append, look up, page through. Entries are never changed and never deleted.

The caller owns connection and transaction. Bodies go in and come out verbatim.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, func, select, union_all, update

from shared_models.entries import Entry, SealedEntry, read_entry
from shared_models.store import upserts
from shared_models.store.tables import ENTRY, TOUCHED

CHUNK = 500


@dataclass(frozen=True, slots=True)
class LoggedEntry:
    """An entry of the log: dense number (None while not shared), id, hash and the body as it came."""

    seq: int | None
    id: str
    hash: str
    body: str


def append(
    connection: Connection,
    group: str,
    entries: Sequence[SealedEntry],
    numbers: Sequence[int] | None = None,
) -> None:
    """Add entries whose ids are not there yet (`known` tells), and note their records as touched."""
    given: Sequence[int | None] = numbers or [None] * len(entries)
    rows = [entry_row(group, sealed, seq) for sealed, seq in zip(entries, given, strict=True)]
    upserts.write(connection, ENTRY, rows)
    touch(connection, group, {sealed.entry.rec for sealed in entries})


def entry_row(group: str, sealed: SealedEntry, seq: int | None = None) -> dict[str, object]:
    """The row of an entry, with its number where it has one."""
    entry = sealed.entry
    return {
        "group_id": group,
        "id": entry.id,
        "seq": seq,
        "rec": entry.rec,
        "kind": entry.kind,
        "stamp": entry.stamp,
        "hash": sealed.hash,
        "body": sealed.body,
        "aside": False,
    }


def touch(connection: Connection, group: str, recs: Iterable[str]) -> None:
    """Note records that must be folded before state is next read."""
    upserts.write_new(connection, TOUCHED, [{"group_id": group, "rec": rec} for rec in sorted(recs)])


def known(connection: Connection, group: str, ids: Sequence[str]) -> dict[str, LoggedEntry]:
    """Those of these ids that the log of the group holds. Another group's ids are simply not there."""
    found = {}
    for part in chunks(ids):
        columns = select(ENTRY.c.seq, ENTRY.c.id, ENTRY.c.hash, ENTRY.c.body)
        for row in connection.execute(columns.where(ENTRY.c.group_id == group, ENTRY.c.id.in_(part))):
            found[row.id] = LoggedEntry(row.seq, row.id, row.hash, row.body)
    return found


def page(connection: Connection, group: str, since: int, limit: int) -> list[LoggedEntry]:
    """The next numbered entries after `since`, in order of their numbers."""
    columns = select(ENTRY.c.seq, ENTRY.c.id, ENTRY.c.hash, ENTRY.c.body)
    numbered = (
        columns.where(ENTRY.c.group_id == group, ENTRY.c.seq > since).order_by(ENTRY.c.seq).limit(limit)
    )
    return [LoggedEntry(row.seq, row.id, row.hash, row.body) for row in connection.execute(numbered)]


def set_number(connection: Connection, group: str, numbers: dict[str, int]) -> None:
    """Give entries that are here the number that the server gave them."""
    if numbers:
        matching = update(ENTRY).where(ENTRY.c.group_id == group, ENTRY.c.id == bindparam("entry_id"))
        rows = [{"entry_id": entry_id, "number": seq} for entry_id, seq in numbers.items()]
        connection.execute(matching.values(seq=bindparam("number")), rows)


def set_aside(connection: Connection, group: str, entry_id: str, rec: str, aside: bool) -> None:
    """Keep an entry out of the fold, or take it back in; it stays in the log either way."""
    matching = update(ENTRY).where(ENTRY.c.group_id == group, ENTRY.c.id == entry_id)
    connection.execute(matching.values(aside=aside))
    touch(connection, group, [rec])


def of_records(connection: Connection, group: str, recs: Sequence[str]) -> Iterator[Entry]:
    """Every entry of these records that is folded."""
    folded = select(ENTRY.c.body).where(ENTRY.c.group_id == group, ENTRY.c.aside.is_(False))
    for part in chunks(recs):
        # Found by their id, and only changes by their record: a server has an index of changes alone.
        making = folded.where(ENTRY.c.id.in_(part), ENTRY.c.rec == ENTRY.c.id)
        changing = folded.where(ENTRY.c.rec.in_(part), ENTRY.c.rec != ENTRY.c.id)
        for body in connection.execute(union_all(making, changing)).scalars().all():
            yield read_entry(body)


def every_record(connection: Connection, group: str) -> list[str]:
    """The ids of all records of the group, in order."""
    distinct = select(ENTRY.c.rec).where(ENTRY.c.group_id == group).distinct().order_by(ENTRY.c.rec)
    return list(connection.execute(distinct).scalars())


def size(connection: Connection, group: str) -> int:
    """How many entries the log of the group holds."""
    return connection.execute(select(func.count()).where(ENTRY.c.group_id == group)).scalar_one()


def chunks(items: Sequence[str]) -> Iterator[Sequence[str]]:
    """Parts small enough for one statement."""
    return (items[start : start + CHUNK] for start in range(0, len(items), CHUNK))

"""The statements of a push, handed to the driver as they are: SQLAlchemy's part of them is a twentieth of its time."""

from collections.abc import Sequence
from functools import cache
from typing import Any

import orjson
from sqlalchemy import Connection, Row

from server.database.arrivals import Arrival

_COLUMNS = "group_id, id, seq, rec, kind, stamp, hash, body, aside"
_INSERT = f"INSERT INTO entry ({_COLUMNS}) VALUES ({', '.join('?' * len(_COLUMNS.split()))})"
_COPY = f"COPY entry ({_COLUMNS}) FROM STDIN"  # on PostgreSQL 500 INSERTs take several times as long
_KNOWN = "SELECT id, seq, hash FROM entry WHERE group_id = {place} AND id "
_ANY_BETWEEN = "SELECT 1 FROM entry WHERE group_id = ? AND id BETWEEN ? AND ? LIMIT 1"
_KNOWN_SQLITE = _KNOWN.format(place="?") + "IN (SELECT value FROM json_each(?))"
_KNOWN_POSTGRESQL = _KNOWN.format(place="%s") + "= ANY(string_to_array(%s, ','))"

_LOCK = (
    "UPDATE group_counter SET seq = seq + 0 WHERE group_id = {place} RETURNING seq, epoch, digest, recovering"
)
_MOVE = "UPDATE group_counter SET seq = {place}, digest = {place} WHERE group_id = {place}"
_RECEIPT = (
    "INSERT INTO receipt (group_id, first, last, received_at, via_device) "
    "VALUES ({place}, {place}, {place}, {place}, {place})"
)


def lock_counter(connection: Connection, group: str) -> Row[Any] | None:
    """Hold the counter of a group until the transaction ends; what it says, None where there is no such group."""
    return connection.exec_driver_sql(_placed(_LOCK, connection), (group,)).one_or_none()


def note_receipt(
    connection: Connection, group: str, numbers: tuple[int, int], digest: str, received_at: str, via: str
) -> None:
    """Note when and from whom the entries numbered from the first to the last came; the last is now the newest.

    `digest` is that of the whole log with them.
    """
    first, last = numbers
    connection.exec_driver_sql(_placed(_RECEIPT, connection), (group, first, last, received_at, via))
    connection.exec_driver_sql(_placed(_MOVE, connection), (last, digest, group))


def insert_entries(connection: Connection, group: str, first: int, entries: Sequence[Arrival]) -> None:
    """Write entries numbered from `first` on."""
    rows = [
        (group, (e := one.envelope)["id"], seq, e["rec"], e["kind"], e["stamp"], one.hash, one.body, False)
        for seq, one in enumerate(entries, first)
    ]
    if _is_sqlite(connection):
        connection.exec_driver_sql(_INSERT, rows)
    else:
        _copy(connection, rows)


def _copy(connection: Connection, rows: list[tuple[Any, ...]]) -> None:
    with connection.connection.cursor() as cursor, cursor.copy(_COPY) as copy:  # type: ignore[attr-defined]
        for row in rows:
            copy.write_row(row)


def known_entries(connection: Connection, group: str, ids: list[str]) -> list[Any]:
    """Rows of id, seq and hash of those of these ids that the group has."""
    if not _is_sqlite(connection):
        return [*connection.exec_driver_sql(_KNOWN_POSTGRESQL, (group, ",".join(ids)))]
    # Ids are in the order of time: mostly the group has none at all between the first and the last of a push.
    if not ids or connection.exec_driver_sql(_ANY_BETWEEN, (group, min(ids), max(ids))).first() is None:
        return []
    return [*connection.exec_driver_sql(_KNOWN_SQLITE, (group, orjson.dumps(ids).decode()))]


@cache
def _written_with(statement: str, place: str) -> str:
    return statement.format(place=place)


def _placed(statement: str, connection: Connection) -> str:
    return _written_with(statement, "?" if _is_sqlite(connection) else "%s")


def _is_sqlite(connection: Connection) -> bool:
    return connection.dialect.name == "sqlite"

"""The two statements of a push that are handed to the driver as they are: 500 rows at once, where every µs counts.

Building parameters row by row for SQLAlchemy costs more than SQLite needs to write the rows.
"""

from collections.abc import Sequence
from typing import Any

import orjson
from sqlalchemy import Connection

from server.database.arrivals import Arrival

_COLUMNS = "group_id, id, seq, rec, kind, stamp, hash, body, aside"
_INSERT = f"INSERT INTO entry ({_COLUMNS}) VALUES ({', '.join('?' * len(_COLUMNS.split()))})"
_COPY = f"COPY entry ({_COLUMNS}) FROM STDIN"  # on PostgreSQL 500 INSERTs take several times as long
_KNOWN = "SELECT id, seq, hash FROM entry WHERE group_id = {place} AND id "
_KNOWN_SQLITE = _KNOWN.format(place="?") + "IN (SELECT value FROM json_each(?))"
_KNOWN_POSTGRESQL = _KNOWN.format(place="%s") + "= ANY(string_to_array(%s, ','))"


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
    if _is_sqlite(connection):
        found = connection.exec_driver_sql(_KNOWN_SQLITE, (group, orjson.dumps(ids).decode()))
    else:
        found = connection.exec_driver_sql(_KNOWN_POSTGRESQL, (group, ",".join(ids)))
    return [*found]


def _is_sqlite(connection: Connection) -> bool:
    return connection.dialect.name == "sqlite"

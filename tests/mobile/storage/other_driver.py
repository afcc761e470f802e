"""The phone's own code on the SQLite of the package apsw, which takes a disk of one's own; Python's does not.

Stands in for what `mobile/storage` and SQLAlchemy use of `sqlite3.Connection`; the statements and the settings are the
phone's. The SQLite below is the one that apsw brings, usually newer than Python's.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import apsw

from mobile.storage import database

_NAMES = vars(database)
_PYTHON_OWN = _NAMES["sqlite3"]


@contextmanager
def phones_on(vfs: str) -> Iterator[None]:
    """Phones that are opened meanwhile lie on this disk."""

    def connect(path: Path, timeout: float, **_: Any) -> "Driver":
        return Driver(apsw.Connection(str(path), vfs=vfs), timeout)

    with _connected_by(SimpleNamespace(connect=connect)):
        yield


@contextmanager
def phones_as_usual() -> Iterator[None]:
    """Phones that are opened meanwhile are opened with Python's own SQLite."""
    with _connected_by(_PYTHON_OWN):
        yield


@contextmanager
def _connected_by(module: object) -> Iterator[None]:
    before, _NAMES["sqlite3"] = _NAMES["sqlite3"], module
    try:
        yield
    finally:
        _NAMES["sqlite3"] = before


class Driver:
    """A connection."""

    isolation_level = None

    def __init__(self, connection: apsw.Connection, timeout: float) -> None:
        self.own = connection
        connection.set_busy_timeout(int(timeout * 1000))

    @property
    def in_transaction(self) -> bool:
        """Whether one is open."""
        return self.own.in_transaction

    def cursor(self) -> "Cursor":
        """For one statement."""
        return Cursor(self.own)

    def execute(self, statement: str, values: Any = ()) -> "Cursor":
        """Run one statement."""
        return self.cursor().execute(statement, values)

    def executemany(self, statement: str, many: Iterable[Any]) -> "Cursor":
        """Run one statement for each."""
        return self.cursor().executemany(statement, many)

    def create_function(self, name: str, arguments: int, function: Any, **_: Any) -> None:
        """SQLAlchemy brings one along."""
        self.own.create_scalar_function(name, function, arguments)

    def commit(self) -> None:
        """The phone begins and ends transactions by itself."""

    rollback = commit

    def close(self) -> None:
        """Let go of the file."""
        self.own.close()


class Cursor:
    """A statement and its rows, all read at once."""

    arraysize = 1
    lastrowid = None

    def __init__(self, connection: apsw.Connection) -> None:
        self._connection = connection
        self.description: Any = None
        self.rowcount = -1
        self._rows: Iterator[Any] = iter(())

    def execute(self, statement: str, values: Any = ()) -> "Cursor":
        """Run it."""
        cursor = self._connection.cursor()
        cursor.exec_trace = self._note_description
        before = self._connection.total_changes()
        self._rows = iter(list(cursor.execute(statement, values or ())))
        self.rowcount = self._connection.total_changes() - before
        return self

    def executemany(self, statement: str, many: Iterable[Any]) -> "Cursor":
        """Run it for each."""
        before = self._connection.total_changes()
        self._connection.cursor().executemany(statement, many)
        self.rowcount = self._connection.total_changes() - before
        return self

    def fetchone(self) -> Any:
        """The next row, if any."""
        return next(self._rows, None)

    def fetchall(self) -> list[Any]:
        """The rows that are left."""
        return list(self._rows)

    def fetchmany(self, size: int = 1) -> list[Any]:
        """Some of them."""
        return [row for row, _ in zip(self._rows, range(size), strict=False)]

    def __iter__(self) -> Iterator[Any]:
        return self._rows

    def close(self) -> None:
        """Nothing is held."""

    def _note_description(self, cursor: apsw.Cursor, statement: str, values: Any) -> bool:
        self.description = (
            tuple((*column, None, None, None, None, None)[:7] for column in cursor.getdescription()) or None
        )
        return True

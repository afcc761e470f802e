"""INSERT … ON CONFLICT for the two databases we speak; SQLite and PostgreSQL share its form. Knows no tables."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Dialect, Insert, Table
from sqlalchemy.dialects import sqlite

if TYPE_CHECKING:  # a phone has no use for it, and would read it at every start
    from sqlalchemy.dialects import postgresql

Row = Mapping[str, object]


def insert_new(connection: Connection, table: Table) -> Insert:
    """Insert rows whose key is not there yet, and leave the others as they are."""
    return _insert_new(connection.dialect, table)


def insert_or_replace(connection: Connection, table: Table) -> Insert:
    """Insert rows, or give those with the same key all the new values."""
    return _insert_or_replace(connection.dialect, table)


def write(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Write many whole rows; IntegrityError where a key is there already."""
    _write(connection, _insert, table, rows)


def write_new(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Write many whole rows as `insert_new` does."""
    _write(connection, _insert_new, table, rows)


def write_or_replace(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Write many whole rows as `insert_or_replace` does."""
    _write(connection, _insert_or_replace, table, rows)


def _insert(dialect: Dialect, table: Table) -> "sqlite.Insert | postgresql.Insert":
    if dialect.name != "postgresql":
        return sqlite.insert(table)
    from sqlalchemy.dialects import postgresql

    return postgresql.insert(table)


def _insert_new(dialect: Dialect, table: Table) -> Insert:
    return _insert(dialect, table).on_conflict_do_nothing()


def _insert_or_replace(dialect: Dialect, table: Table) -> Insert:
    statement = _insert(dialect, table)
    keys = [column.name for column in table.primary_key.columns]
    changed = {
        column.name: statement.excluded[column.name] for column in table.columns if column.name not in keys
    }
    return statement.on_conflict_do_update(index_elements=keys, set_=changed)


_Making = Callable[[Dialect, Table], Insert]


@dataclass(frozen=True, slots=True)
class _Statement:
    """A statement as the driver takes it; `order` names the columns where it takes values by their place."""

    text: str
    order: tuple[str, ...] | None


def _write(connection: Connection, making: _Making, table: Table, rows: Sequence[Row]) -> None:
    """Through the driver itself: preparing each row's parameters would cost more than writing the row."""
    if not rows:
        return
    statement = _compiled(making, connection.dialect, table)
    values: Any = rows if statement.order is None else [_in_order(row, statement.order) for row in rows]
    connection.exec_driver_sql(statement.text, values)


def _in_order(row: Row, order: tuple[str, ...]) -> tuple[object, ...]:
    return tuple([row[name] for name in order])


@lru_cache(maxsize=64)
def _compiled(making: _Making, dialect: Dialect, table: Table) -> _Statement:
    compiled: Any = making(dialect, table).compile(dialect=dialect)
    return _Statement(str(compiled), tuple(compiled.positiontup) if compiled.positional else None)

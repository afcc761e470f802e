"""INSERT … ON CONFLICT for the two databases we speak; SQLite and PostgreSQL share its form. Knows no tables."""

from sqlalchemy import Connection, Insert, Table
from sqlalchemy.dialects import postgresql, sqlite


def insert_new(connection: Connection, table: Table) -> Insert:
    """Insert rows whose key is not there yet, and leave the others as they are."""
    return _insert(connection, table).on_conflict_do_nothing()


def insert_or_replace(connection: Connection, table: Table) -> Insert:
    """Insert rows, or give those with the same key all the new values."""
    statement = _insert(connection, table)
    keys = [column.name for column in table.primary_key.columns]
    changed = {
        column.name: statement.excluded[column.name] for column in table.columns if column.name not in keys
    }
    return statement.on_conflict_do_update(index_elements=keys, set_=changed)


def _insert(connection: Connection, table: Table) -> sqlite.Insert | postgresql.Insert:
    return postgresql.insert(table) if connection.dialect.name == "postgresql" else sqlite.insert(table)

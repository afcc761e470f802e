"""Databases as earlier servers left them, filled with a group that was used. Knows no expectations.

`first_tables.sql` is what the server made before it noted at which step its tables are; it never changes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, inspect, text

from server.services.sealing import sealed_entry
from tests.builders import FieldPhone

FIRST = (Path(__file__).parent / "first_tables.sql").read_text()
GROUP = "hill0000"
_ENTRY = (
    "INSERT INTO entry VALUES (:group_id, :id, :seq, :rec, :kind, :stamp, :hash, :body, :aside)",
    ["group_id", "id", "seq", "rec", "kind", "stamp", "hash", "body", "aside"],
)


def first_tables(connection: Connection) -> None:
    """Make the first tables."""
    for statement in FIRST.split(";"):
        if statement.strip():
            connection.execute(text(_in_words_of(connection, statement)))


def used_before(url: str, marks: int = 20) -> list[str]:
    """A database with the first tables, a group, its devices and codes, and entries; returns their bodies."""
    engine = create_engine(url)
    with engine.begin() as connection:
        first_tables(connection)
        bodies = _fill(connection, marks)
    engine.dispose()
    return bodies


def _fill(connection: Connection, marks: int) -> list[str]:
    phone = FieldPhone()
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    entries = [garden, tree, visit, *(phone.mark(visit, "sting") for _ in range(marks))]
    sealed = [sealed_entry(entry) for entry in entries]
    rows = [
        {
            "group_id": GROUP, "id": entry.id, "seq": seq, "rec": entry.rec, "kind": entry.kind,
            "stamp": entry.stamp, "hash": one.hash, "body": one.body, "aside": False,
        }
        for seq, (entry, one) in enumerate(zip(entries, sealed, strict=True), 1)
    ]  # fmt: skip
    connection.execute(text(_ENTRY[0]), rows)
    now = "2026-09-12T10:00:00.000Z"
    for statement in (
        f"INSERT INTO grower_group VALUES ('{GROUP}', 'Hill (invented)', '{now}')",
        f"INSERT INTO group_counter VALUES ('{GROUP}', {len(rows)}, 2)",
        f"INSERT INTO receipt VALUES ('{GROUP}', 1, {len(rows)}, '{now}', 'dev')",
        f"INSERT INTO device VALUES ('{GROUP}', 'dev', 'hash', 'keeper', 'd', 'phone', 'p', 'Ada', '{now}', NULL, NULL)",
        f"INSERT INTO invitation VALUES ('code', '{GROUP}', 'keeper', '{now}', '{now}', NULL)",
        f"INSERT INTO touched VALUES ('{GROUP}', '{entries[0].rec}')",
    ):
        connection.execute(text(statement))
    return [one.body for one in sealed]


def _in_words_of(connection: Connection, statement: str) -> str:
    if connection.dialect.name == "sqlite":
        return statement
    return statement.replace("BLOB", "BYTEA").replace(" WITHOUT ROWID", "")


def schema_of(engine: Engine) -> dict[str, dict[str, Any]]:
    """Every table with its columns, types, keys and indexes, as the database itself tells it."""
    found = inspect(engine)
    return {table: _table(found, table) for table in found.get_table_names() if table != "alembic_version"}


def _table(found: Any, table: str) -> dict[str, Any]:
    return {
        "columns": {
            column["name"]: (str(column["type"]), column["nullable"], column["default"])
            for column in found.get_columns(table)
        },
        "key": found.get_pk_constraint(table)["constrained_columns"],
        "unique": sorted(one["column_names"] for one in found.get_unique_constraints(table)),
        "indexes": {
            one["name"]: (one["column_names"], bool(one["unique"]), _where(one))
            for one in found.get_indexes(table)
            if not one.get("duplicates_constraint")
        },
    }


def _where(index: Any) -> str:
    options = index.get("dialect_options", {})
    conditions = [options[name] for name in ("sqlite_where", "postgresql_where") if name in options]
    return str(*conditions).replace("(", "").replace(")", "").replace("::text", "")

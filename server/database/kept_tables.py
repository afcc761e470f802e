"""What of a server cannot be made again, as plain rows: read out of one moment, written into tables that are empty.

Left out are state, which follows from the log, and one-time codes, which are gone after ten minutes and must not be
good a second time.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

import sqlalchemy as sa
from sqlalchemy import Connection, select, update

from server.database.recovery import begin_recovery
from server.database.tables import AUDIT, DEVICE, GROUP, GROUP_COUNTER, HELD_BACK, RECEIPT
from server.database.upgrading import NEWEST, renew_state, upgrade
from shared_models.store.tables import ENTRY

KEPT = (GROUP, GROUP_COUNTER, ENTRY, RECEIPT, DEVICE, HELD_BACK, AUDIT)
_AT_ONCE = 1000
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class KeptTable:
    """The rows of one table, with the names that they had when they were read."""

    name: str
    columns: tuple[str, ...]
    rows: Iterable[Row]


def kept(connection: Connection) -> Iterator[KeptTable]:
    """All that is kept, table by table, in the order in which it is written back."""
    for table in KEPT:
        yield KeptTable(table.name, tuple(table.columns.keys()), _rows(connection, table))


def put_back(connection: Connection, step: str, tables: Iterable[KeptTable]) -> None:
    """Make the tables as they were at a step, fill them, and bring them up to this program.

    Whoever knows the numbers of a group as they were is told to start over, and each group is recovering.
    """
    upgrade(connection, step)
    for table in tables:
        _fill(connection, table)
    upgrade(connection, NEWEST)
    renew_state(connection)
    begin_recovery(connection)


def disconnect_again(connection: Connection, revoked: Mapping[tuple[str, str], str]) -> None:
    """Devices that were disconnected since stay so, by group and id."""
    for (group, device), at in revoked.items():
        which = DEVICE.c.group_id == group, DEVICE.c.id == device, DEVICE.c.revoked_at.is_(None)
        connection.execute(update(DEVICE).where(*which).values(revoked_at=at))


def _rows(connection: Connection, table: sa.Table) -> Iterator[Row]:
    chosen = select(table).order_by(*table.primary_key.columns)
    streamed = connection.execute(chosen.execution_options(yield_per=_AT_ONCE))
    return (dict(row) for row in streamed.mappings())


def _fill(connection: Connection, table: KeptTable) -> None:
    # The lines of the audit are numbered by the database, which would not know of numbers that it did not give.
    columns = [name for name in table.columns if (table.name, name) != (AUDIT.name, AUDIT.c.number.name)]
    into = sa.table(table.name, *(sa.column(name) for name in columns)).insert()
    rows = iter(table.rows)
    while part := list(islice(rows, _AT_ONCE)):
        connection.execute(into, [{name: row[name] for name in columns} for row in part])

"""A later release for tests of upgrades: two rungs of the kinds that releases need, put into this process."""

import sqlite3
from types import MappingProxyType

from mobile.storage import upgrades

NOW, RUNGS = upgrades.SCHEMA, upgrades.RUNGS  # of this release; `become` changes what stands there
LATER = NOW + 2


def _remembers_days(driver: sqlite3.Connection) -> None:
    """A new column, filled from what is there, with an index."""
    driver.execute("ALTER TABLE outbox ADD COLUMN since TEXT")
    driver.execute("UPDATE outbox SET since = (SELECT stamp FROM entry WHERE entry.id = outbox.id)")
    driver.execute("CREATE INDEX outbox_by_stamp ON outbox (since)")


def _has_a_table_more(driver: sqlite3.Connection) -> None:
    """A new table, filled from what is there."""
    driver.execute("CREATE TABLE told (rec TEXT PRIMARY KEY, entries INTEGER NOT NULL) WITHOUT ROWID")
    driver.execute("INSERT INTO told SELECT rec, count(*) FROM entry GROUP BY rec")


def become(last: upgrades.Rung = _has_a_table_more) -> None:
    """Be that release from now on, in this process."""
    upgrades.SCHEMA = LATER
    upgrades.RUNGS = MappingProxyType({**RUNGS, NOW: _remembers_days, NOW + 1: last})


def is_whole_in(connection: sqlite3.Connection) -> int:
    """The version of a file, after making sure that it has all of it and nothing beyond."""
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    columns = {row[1] for row in connection.execute("PRAGMA table_info(outbox)")}
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    assert ("since" in columns) == ("told" in tables) == (version == LATER), (version, columns, tables)
    assert version in (NOW, LATER)
    if version == LATER:
        counted = connection.execute("SELECT sum(entries) FROM told").fetchone()[0]
        assert counted <= connection.execute("SELECT count(*) FROM entry").fetchone()[0]
        assert not connection.execute(
            "SELECT 1 FROM outbox WHERE since IS NULL AND kind <> 'mark' LIMIT 1"
        ).fetchall()
    return version

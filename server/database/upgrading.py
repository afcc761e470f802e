"""Brings the tables of a database up to this program: made where there are none, changed step by step where they are older.

"Whoever is killed in the middle has changed nothing": all of it is one transaction, under a lock, so of two processes
that start at once one does it and the other finds it done. What is folded from the log is not carried through the steps:
where its shape changed, it is thrown away and folded anew.
"""

import hashlib
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, select, text, update
from sqlalchemy.schema import CreateIndex, CreateTable

from server.database.tables import GROUP_COUNTER, STATE_SHAPE
from shared_models.errors import StoreError
from shared_models.language import say
from shared_models.store.tables import ENTRY, STATE_TABLES

NEWEST = "0003"  # the last step; looked at by every start, while Alembic is read only where there is something to do
STEPS = Path(__file__).parent / "migrations"
_VERSION_TABLE = "alembic_version"
_LOCK = 0x506F6D65  # of PostgreSQL, for whoever brings tables up to date
_SQLITE_WAITS = 600_000  # ms, for another process that is at it


def bring_up_to_date(engine: Engine, writes: dict[str, bool]) -> None:
    """Make the tables what this program works with; StoreError where a newer program has made them.

    `writes` are the execution options of a connection that begins with the write lock.
    """
    with engine.connect() as connection:
        if _is_up_to_date(connection):
            return
    with engine.connect().execution_options(**writes) as connection:
        _wait_patiently(connection)
        with connection.begin():
            lock(connection)
            if not _is_up_to_date(connection):
                upgrade(connection, NEWEST)
                renew_state(connection)


def version_of(connection: Connection) -> str | None:
    """The step that the tables are at; None before the first."""
    if not inspect(connection).has_table(_VERSION_TABLE):
        return None
    found: str | None = connection.execute(text(f"SELECT version_num FROM {_VERSION_TABLE}")).scalar()
    return found


def _is_up_to_date(connection: Connection) -> bool:
    if version_of(connection) != NEWEST:
        return False
    return connection.execute(select(STATE_SHAPE.c.shape)).scalars().all() == [_shape(connection)]


def upgrade(connection: Connection, step: str) -> None:
    """Take the tables to a step; StoreError where they or the step are of a newer program."""
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    steps = {step.revision for step in ScriptDirectory.from_config(config).walk_revisions()}
    found = version_of(connection) or step
    if found not in steps or step not in steps:
        raise StoreError(
            say(
                "The database was written by a newer Pomeward server (its tables are at step {found}, this server "
                "knows {newest}). It was left as it is; update this server.",
                found=max(found, step)[:20],
                newest=NEWEST,
            )
        )
    command.upgrade(config, step)


def renew_state(connection: Connection) -> None:
    """Empty state tables in the shape of this program, and everything of the log to be folded."""
    metadata = ENTRY.metadata
    metadata.drop_all(connection, tables=STATE_TABLES)
    metadata.create_all(connection, tables=STATE_TABLES)
    connection.execute(update(GROUP_COUNTER).values(folded=0))
    connection.execute(STATE_SHAPE.delete())
    connection.execute(STATE_SHAPE.insert().values(shape=_shape(connection)))


def _shape(connection: Connection) -> str:
    """What the state tables are told by: their definition, as this database is given it."""
    made = [str(CreateTable(table).compile(dialect=connection.dialect)) for table in STATE_TABLES]
    indexes = sorted(
        (index for table in STATE_TABLES for index in table.indexes), key=lambda one: str(one.name)
    )
    made += [str(CreateIndex(index).compile(dialect=connection.dialect)) for index in indexes]
    return hashlib.sha256("\n".join(made).encode()).hexdigest()


def _wait_patiently(connection: Connection) -> None:
    """As long as another process may need; the connection is for this alone, so others are not made to wait as long."""
    if connection.dialect.name == "sqlite":
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.execute(f"PRAGMA busy_timeout={_SQLITE_WAITS}")
    connection.detach()


def lock(connection: Connection) -> None:
    """Hold the tables for changing them until the transaction ends; on SQLite whoever writes holds them anyway."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})

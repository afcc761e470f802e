"""The server's database, open: SQLite file or PostgreSQL, transactions for reading and for writing. Knows no records.

On SQLite a writer begins with the write lock and one writes at a time in a process: SQLite's own waiting is unfair,
and a transaction that reads first and then wants to write fails without waiting at all.
"""

import os
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from pathlib import Path
from typing import Any

import psycopg
from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as NoFreeConnection

from server.database.upgrading import bring_up_to_date
from shared_models.errors import StoreError
from shared_models.language import say

_SQLITE_SETTINGS = (
    "journal_mode=WAL",
    "synchronous=FULL",
    "busy_timeout=10000",
    "foreign_keys=ON",
    "trusted_schema=OFF",
    "cell_size_check=ON",
    "temp_store=MEMORY",
    "wal_autocheckpoint=4000",  # pages; pushes come in hundreds of pages, and each checkpoint halts one of them
)
_CONNECTIONS = 16
_CANNOT_BE_HELPED = (OperationalError, InterfaceError, NoFreeConnection, psycopg.OperationalError)
_WRITES = "pomeward_writes"
AS_WRITER = {_WRITES: True}  # options of a connection whose transactions begin with the write lock


class Database:
    """All groups of one server. Blocks raise StoreError where the database fails, and nothing of them is kept then."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._sqlite = engine.dialect.name == "sqlite"
        self._one_writer: AbstractContextManager[Any] = threading.Lock() if self._sqlite else nullcontext()

    @property
    def pushes_at_once(self) -> int:
        """How many pushes one process should work on. More would only take the interpreter from each other.

        On PostgreSQL one may wait for another process's lock on its group; the others then go on.
        """
        return 1 if self._sqlite else 4

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that only reads."""
        with told_in_sentences(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """A transaction that only reads, and sees one moment however long it takes."""
        engine = self._engine
        if not self._sqlite:
            engine = engine.execution_options(isolation_level="REPEATABLE READ")
        with told_in_sentences(), engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that writes, durable when the block has ended."""
        with told_in_sentences(), self._one_writer, self._engine.connect() as connection:
            writer = connection.execution_options(**AS_WRITER)
            with writer.begin():
                yield writer

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def open_database(url: str) -> Database:
    """Open a database, with its tables made or brought up to this program where that is needed."""
    engine = engine_of(url)
    try:
        with told_in_sentences():
            bring_up_to_date(engine, AS_WRITER)
    except BaseException:
        engine.dispose()
        raise
    return Database(engine)


def engine_of(url: str | URL) -> Engine:
    """The way to a database, with what this program wants of every connection; its tables are as they are."""
    return _sqlite_engine(url) if is_sqlite(url) else _postgres_engine(url)


def is_sqlite(url: str | URL) -> bool:
    """Whether a database is a file."""
    return make_url(url).get_backend_name() == "sqlite"


def _postgres_engine(url: str | URL) -> Engine:
    return create_engine(
        url, isolation_level="READ COMMITTED", pool_size=_CONNECTIONS, max_overflow=_CONNECTIONS
    )


def _sqlite_engine(url: str | URL) -> Engine:
    _make_private(Path(make_url(url).database or ""))
    engine = create_engine(url, pool_size=_CONNECTIONS, max_overflow=_CONNECTIONS)
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _make_private(file: Path) -> None:
    """Make an empty file that only this user can read; SQLite gives its companions the same rights."""
    file.parent.mkdir(parents=True, exist_ok=True)
    with suppress(FileExistsError):
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _prepare(driver: Any, _record: object) -> None:
    driver.isolation_level = None  # we begin transactions ourselves; the driver would begin them too late
    for setting in _SQLITE_SETTINGS:
        driver.execute(f"PRAGMA {setting}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(_WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def told_in_sentences() -> Iterator[None]:
    """What the database cannot help becomes a StoreError; what it was asked wrongly is a fault of ours and stays one."""
    try:
        yield
    except _CANNOT_BE_HELPED as error:
        raise StoreError(
            say(
                "The database could not be read or written. Nothing of this request was kept; what was "
                "acknowledged before is there. Try again, and look at the server's own messages."
            )
        ) from error

"""Another database in the place of the one that is there. What was there is moved aside and never deleted.

"Whoever is killed in the middle leaves the one or the other, whole." A SQLite file is made beside the old one and takes
its name in one step; on PostgreSQL all of it is one transaction, and the old tables go to a schema of their own.
"""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import sqlalchemy as sa
from psycopg.errors import InsufficientPrivilege
from sqlalchemy import Connection, Engine, NullPool, create_engine, inspect, make_url
from sqlalchemy.exc import DatabaseError, ProgrammingError

from server.database.engine import AS_WRITER, engine_of, is_sqlite, told_in_sentences
from server.database.tables import PRIVATE
from server.database.upgrading import lock
from shared_models.errors import NotAllowedError
from shared_models.language import say
from shared_models.store.tables import SHARED_TABLES

_OURS = {*PRIVATE.tables, *(table.name for table in SHARED_TABLES), "alembic_version"}
_COMPANIONS = ("-wal", "-shm", "-journal")
_BUSY = ("SQLITE_BUSY", "SQLITE_LOCKED")


@dataclass(frozen=True, slots=True)
class There:
    """What a database holds: how many groups (None where it cannot be read), which devices were disconnected when."""

    groups: int | None
    revoked: dict[tuple[str, str], str] = field(default_factory=dict)


def there(url: str) -> There:
    """Look at a database of whatever step; changes nothing."""
    file = Path(make_url(url).database or "") if is_sqlite(url) else None
    if file is not None and (not file.exists() or file.stat().st_size == 0):
        return There(0)
    engine = _only_to_look(file) if file else engine_of(url)
    try:
        with told_in_sentences(), engine.connect() as connection:
            return _there(connection, file is not None)
    except DatabaseError:  # of a file that is no database, or a damaged one
        return There(None)
    finally:
        engine.dispose()


def _only_to_look(file: Path) -> Engine:
    """A file that nothing is changed in, whatever it is."""
    address = f"{file.resolve().as_uri()}?mode=ro"
    return create_engine("sqlite://", creator=lambda: sqlite3.connect(address, uri=True), poolclass=NullPool)


def _there(connection: Connection, is_file: bool) -> There:
    tables = set(inspect(connection).get_table_names())
    if "grower_group" not in tables:
        return There(None if is_file and tables else 0)
    groups = connection.execute(sa.text("SELECT count(*) FROM grower_group")).scalar_one()
    if "device" not in tables:
        return There(groups)
    revoked = sa.text("SELECT group_id, id, revoked_at FROM device WHERE revoked_at IS NOT NULL")
    return There(groups, {(group, device): at for group, device, at in connection.execute(revoked)})


@contextmanager
def in_its_place(url: str, moment: str) -> Iterator[Connection]:
    """A transaction on an empty database, which takes the place of the one at the address when the block has ended.

    `moment` names where the old one is then: see `aside`. NotAllowedError where a server has the file open.
    """
    with told_in_sentences():
        if is_sqlite(url):
            with _new_file(url, moment) as connection:
                yield connection
            return
        engine = engine_of(url)
        try:
            with engine.begin() as connection:
                lock(connection)
                _to_a_schema(connection, aside(url, moment))
                yield connection
        finally:
            engine.dispose()


def aside(url: str, moment: str) -> str:
    """Where the old database is after that moment: a file beside it, or a schema."""
    if not is_sqlite(url):
        return f"pomeward_before_{moment.lower()}"
    file = Path(make_url(url).database or "")
    return str(file.with_name(f"{file.stem}.before-{moment}{file.suffix}"))


def _to_a_schema(connection: Connection, schema: str) -> None:
    ours = sorted(_OURS & set(inspect(connection).get_table_names()))
    if ours:
        _make_schema(connection, schema)
    for table in ours:
        connection.execute(sa.text(f"ALTER TABLE {table} SET SCHEMA {schema}"))


def _make_schema(connection: Connection, schema: str) -> None:
    try:
        connection.execute(sa.text(f"CREATE SCHEMA {schema}"))
    except ProgrammingError as error:
        if not isinstance(error.orig, InsufficientPrivilege):
            raise
        raise NotAllowedError(
            say(
                "The database's user may not make a schema, into which what is there would be moved. Nothing was "
                "changed. Let the owner of the database allow it, or restore into an empty one."
            )
        ) from error


@contextmanager
def _new_file(url: str, moment: str) -> Iterator[Connection]:
    file = Path(make_url(url).database or "")
    _remove_drafts(file)
    draft = file.with_name(f"{file.name}.new-{moment}")
    engine = engine_of(make_url(url).set(database=str(draft)))
    try:
        with engine.connect().execution_options(**AS_WRITER) as connection, connection.begin():
            yield connection
        with engine.connect() as connection:
            _close_journal(connection)
        engine.dispose()
        _swap(draft, file, Path(aside(url, moment)))
    finally:
        engine.dispose()
        _remove_drafts(file)


def _close_journal(connection: Connection) -> None:
    """Into one file without companions, so that one step puts it into its place."""
    driver = connection.connection.driver_connection
    assert driver is not None
    (mode,) = driver.execute("PRAGMA journal_mode=DELETE").fetchone()
    assert mode == "delete", "Nobody else knows of this file."


def _remove_drafts(file: Path) -> None:
    """What a restoring that was killed has left, and which nobody was told is there."""
    for draft in file.parent.glob(f"{file.name}.new-*"):
        draft.unlink(missing_ok=True)


def _swap(draft: Path, file: Path, old: Path) -> None:
    with _nobody_else_has(file, old):
        if file.exists():
            _second_name(file, old)
        _written_down(draft)
        os.replace(draft, file)
        _written_down(file.parent)


@contextmanager
def _nobody_else_has(file: Path, old: Path) -> Iterator[None]:
    """The file is one file, without companions, and nobody begins to use it meanwhile."""
    if not file.exists():
        yield
        return
    driver = sqlite3.connect(file, timeout=1, isolation_level=None)
    try:
        _hold(driver, file, old)
        yield
    finally:
        driver.close()


def _hold(driver: sqlite3.Connection, file: Path, old: Path) -> None:
    try:
        if driver.execute("PRAGMA journal_mode=DELETE").fetchone()[0] != "delete":
            raise _in_use()
        driver.execute("BEGIN EXCLUSIVE")
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorname in _BUSY:
            raise _in_use() from error
        for (
            end
        ) in _COMPANIONS:  # it is damaged; its journal belongs to it and not to what comes into its place
            if (companion := Path(f"{file}{end}")).exists():
                os.replace(companion, f"{old}{end}")


def _in_use() -> NotAllowedError:
    return NotAllowedError(
        say(
            "The server is running or another command is at its data. Nothing was changed; stop it and try again."
        )
    )


def _second_name(file: Path, old: Path) -> None:
    try:
        os.link(file, old)
    except OSError:  # a file system without second names
        shutil.copy2(file, old)


def _written_down(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

"""One SQLite file: opened with care, one writer behind a lock, one reader beside it. Knows no records.

"Every record is durable before the number changes on the screen": WAL with synchronous=FULL, so that a committed
transaction survives a kill and a power cut.
"""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, StaticPool, create_engine

from mobile.storage import upgrades
from mobile.storage.beside import Beside, make_private
from mobile.storage.failures import DamagedError, damaged, not_ours, told_in_sentences
from mobile.storage.own_tables import OUTBOX, OWN_INDEXES, PHONE, SHAPE
from mobile.storage.soundness import is_readable, is_whole
from shared_models.errors import StoreError
from shared_models.language import say
from shared_models.store.tables import SHARED_TABLES

APPLICATION = 0x506F6D65  # "Pome": marks the file as ours (PRAGMA application_id)
BUSY_SECONDS = 5
_SETTINGS = (
    "synchronous=FULL",
    "foreign_keys=ON",
    # A touch writes 9 pages, so one in 200 touches pays for moving the journal into the file; with 500 it was one in 50.
    "wal_autocheckpoint=2000",
    "journal_size_limit=16777216",  # above what those pages need, or the journal's room is taken and given back each time
    "trusted_schema=OFF",
    "cell_size_check=ON",
    "mmap_size=0",
    "fullfsync=1",  # macOS; elsewhere it does nothing
    "temp_store=MEMORY",  # nothing is written outside the file's folder
)


class Line:
    """One connection, used by one thread at a time: `core` for the shared SQL, `driver` where every µs counts."""

    def __init__(self, path: Path) -> None:
        self.driver = sqlite3.connect(
            path, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False
        )
        self._lock = threading.RLock()
        self._path = path

    def prepare(self) -> None:
        """Apply the settings; the file is known to be ours by now."""
        for setting in _SETTINGS:
            self.driver.execute(f"PRAGMA {setting}")
        engine = create_engine("sqlite://", creator=lambda: self.driver, poolclass=StaticPool)
        # AUTOCOMMIT: transactions are begun and ended below, SQLAlchemy only runs the statements in them.
        self.core: Connection = engine.connect().execution_options(isolation_level="AUTOCOMMIT")

    @contextmanager
    def transaction(self, begin: str) -> Iterator["Line"]:
        """All of it or nothing; a failure is told in a sentence."""
        with self._lock, _noting_damage(self._path), told_in_sentences(self._path):
            try:
                self.driver.execute(begin)  # broken off, it can have begun all the same
                yield self
                self.driver.execute("COMMIT")
            except BaseException:
                if self.driver.in_transaction:  # SQLite ends it by itself when the disk is full
                    self.driver.execute("ROLLBACK")
                raise

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            if hasattr(self, "core"):
                self.core.close()
                self.core.engine.dispose()
            self.driver.close()


class Database:
    """The phone's file, open. Every method and block raises StoreError where SQLite fails."""

    def __init__(self, path: Path) -> None:
        self.path = path
        with told_in_sentences(path):
            _look_through(path)
            make_private(path)
            self._writer = Line(path)
            try:
                self._open()
                self._reader = Line(path)
            except BaseException:
                self._writer.close()
                raise
            self._reader.prepare()
            self._reader.driver.execute("PRAGMA query_only=ON")

    @contextmanager
    def writing(self) -> Iterator[Line]:
        """A transaction that writes; it takes the write lock first, so that waiting for it works."""
        with self._writer.transaction("BEGIN IMMEDIATE") as line:
            yield line

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A view of one moment, undisturbed by what is written meanwhile."""
        with self._reader.transaction("BEGIN") as line:
            yield line.core

    def note_damage(self) -> None:
        """Let the next start look at the whole file, and put it in order."""
        _note_damage(self.path)

    def close(self) -> None:
        """Close the file; closing twice is harmless."""
        self._reader.close()
        self._writer.close()

    def _open(self) -> None:
        """Look first, write only into a file that is empty or ours."""
        _refuse_what_is_not_ours(self._writer.driver, self.path)
        _use_wal(self._writer.driver)
        self._writer.prepare()
        with self._writer.transaction("BEGIN IMMEDIATE"):
            made = _make_tables(self._writer)
            _tell_its_shape(self._writer.driver)
        if made:  # what the file is must stand in the file itself, should its journal get lost
            self._writer.driver.execute("PRAGMA wal_checkpoint(PASSIVE)")


@contextmanager
def _noting_damage(path: Path) -> Iterator[None]:
    """Let the next start look at the whole file where part of it could not be read."""
    try:
        yield
    except DamagedError:
        _note_damage(path)
        raise


def _note_damage(path: Path) -> None:
    with suppress(OSError):  # then it is found another time
        Beside(path).suspect.touch()


def _value(driver: sqlite3.Connection, pragma: str) -> Any:
    return driver.execute(f"PRAGMA {pragma}").fetchone()[0]


def was_left_open(path: Path) -> bool:
    """Whether the last one to use the file was stopped: a clean end takes the journal away."""
    journal = path.with_name(path.name + "-wal")
    return journal.exists() and journal.stat().st_size > 0


def _look_through(path: Path) -> None:
    """Look at a file that was left open, thoroughly at one that was read with trouble; DamagedError where it is spoilt.

    Before it is opened for writing, which would move what is in a journal into a file that is perhaps not its own.
    """
    suspect = Beside(path).suspect
    if suspect.exists():
        if path.exists() and not is_whole(path):
            raise DamagedError(damaged(path))
        suspect.unlink(missing_ok=True)
    elif was_left_open(path) and path.exists() and not is_readable(path):
        raise DamagedError(damaged(path))


def _refuse_what_is_not_ours(driver: sqlite3.Connection, path: Path) -> None:
    version, application = _value(driver, "user_version"), _value(driver, "application_id")
    if application == APPLICATION and version > upgrades.SCHEMA:
        raise StoreError(
            say(
                "The file {file} was written by a newer Pomeward. It was left as it is; update the app to read it.",
                file=path.name,
            )
        )
    if application != APPLICATION and driver.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        raise StoreError(not_ours(path))


def _use_wal(driver: sqlite3.Connection) -> None:
    if _value(driver, "journal_mode") != "wal":
        driver.execute("PRAGMA journal_mode=WAL")


def _tell_its_shape(driver: sqlite3.Connection) -> None:
    """Tell SQLite what the tables look like; it would guess that a file holds ten rows of its one group."""
    if driver.execute("SELECT 1 FROM sqlite_master WHERE name='sqlite_stat1'").fetchone():
        return
    driver.execute("ANALYZE phone")  # makes the table of statistics
    rows = [(index.split()[0], index.split()[1], shape) for index, shape in SHAPE.items()]
    driver.executemany("INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES (?, ?, ?)", rows)
    driver.execute("ANALYZE sqlite_master")  # reads them


def _make_tables(line: Line) -> bool:
    """Make the tables of a new file, or bring those of an older release up to this one; whether it was a new one."""
    version = _value(line.driver, "user_version")
    if version:
        upgrades.climb(line.driver, version)
        return False
    for table in (*SHARED_TABLES, OUTBOX, PHONE):
        table.create(line.core)
    for index in OWN_INDEXES:
        line.driver.execute(index)
    line.driver.execute(f"PRAGMA application_id={APPLICATION}")
    line.driver.execute(f"PRAGMA user_version={upgrades.SCHEMA}")
    return True

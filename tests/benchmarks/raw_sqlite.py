"""The floors' SQLite: the driver alone, with the same promise of durability. Knows no Pomeward code."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def raw_database(path: Path, *tables: str) -> Iterator[sqlite3.Connection]:
    """A file in WAL with synchronous=FULL, with these tables made; transactions are begun by hand."""
    driver = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    try:
        driver.execute("PRAGMA journal_mode=WAL")
        driver.execute("PRAGMA synchronous=FULL")
        for table in tables:
            driver.execute(table)
        yield driver
    finally:
        driver.close()

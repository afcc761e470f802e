"""Whether a file is whole. Reads on a connection of its own that cannot write, so that looking spoils nothing."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from mobile.storage.failures import is_damage
from shared_models.entries import text_hash

Look = Callable[[sqlite3.Connection], bool]


def is_readable(file: Path) -> bool:
    """Whether SQLite can follow its tables: what may be spoilt when a phone was stopped."""
    return _passes(file, lambda driver: _says_ok(driver, "quick_check"))


def is_whole(file: Path) -> bool:
    """Whether tables and indexes agree and every entry has the text that it was stored with; takes its time."""
    return _passes(file, lambda driver: _says_ok(driver, "integrity_check") and _texts_are_whole(driver))


def _passes(file: Path, look: Look) -> bool:
    try:
        with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as driver:
            driver.execute("PRAGMA busy_timeout=5000")
            driver.execute("PRAGMA cell_size_check=ON")
            return look(driver)
    except sqlite3.Error as fault:
        if is_damage(fault):
            return False
        raise


def _says_ok(driver: sqlite3.Connection, check: str) -> bool:
    return bool(driver.execute(f"PRAGMA {check}(1)").fetchone()[0] == "ok")


def _texts_are_whole(driver: sqlite3.Connection) -> bool:
    if not driver.execute("SELECT 1 FROM sqlite_schema WHERE name = 'entry'").fetchone():
        return True
    entries = driver.execute("SELECT hash, body FROM entry")
    return all(text_hash(body) == known for known, body in entries)

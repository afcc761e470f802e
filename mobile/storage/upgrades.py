"""From the tables of an earlier release to those of this one: a rung for each release that changed them.

A new file is made with the newest tables at once. An older one climbs rung by rung within the one transaction in which
it is opened: it has all rungs or none, so a phone that is stopped meanwhile, or has no room, keeps the file it had.
Entries are never touched by a rung. A rung names tables and columns in words of its own and not by the table classes,
which go on to change; `tests/mobile/storage/test_upgrades.py` says what a rung has to keep.
"""

import sqlite3
from collections.abc import Callable, Mapping

Rung = Callable[[sqlite3.Connection], None]

SCHEMA = 1  # 2026-11: first release. A file with a greater number was written by a newer app.
RUNGS: Mapping[int, Rung] = {}
"""By the number that a file has before it: 1 leads from the first release to the second. None was needed so far."""


def climb(driver: sqlite3.Connection, version: int) -> None:
    """Bring a file from its version to this release's, in a transaction that somebody else holds."""
    for before in range(version, SCHEMA):
        RUNGS[before](driver)
        driver.execute(f"PRAGMA user_version={before + 1}")

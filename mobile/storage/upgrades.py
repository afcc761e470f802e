"""From the tables of an earlier release to those of this one: a rung for each release that changed them.

A new file is made with the newest tables at once. An older one climbs rung by rung within the one transaction in which
it is opened: it has all rungs or none, so a phone that is stopped meanwhile, or has no room, keeps the file it had.
Entries are never touched by a rung. A rung names tables and columns in words of its own and not by the table classes,
which go on to change; `tests/mobile/storage/test_upgrades.py` says what a rung has to keep.
"""

import sqlite3
from collections.abc import Callable, Mapping

Rung = Callable[[sqlite3.Connection], None]

SCHEMA = 2  # 2026-11. A file with a greater number was written by a newer app.


def _knows_what_was_done_apart(driver: sqlite3.Connection) -> None:
    """Records tell which of their fields were set blind, and which visit a count of a trap goes back to."""
    driver.execute("ALTER TABLE record ADD COLUMN blind VARCHAR")
    driver.execute("ALTER TABLE record ADD COLUMN claim VARCHAR")
    driver.execute("CREATE INDEX record_blind ON record (group_id, rec) WHERE blind IS NOT NULL")
    driver.execute("CREATE INDEX record_claim ON record (group_id, claim) WHERE claim IS NOT NULL")
    driver.executemany(
        "INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('record', ?, ?)",
        [("record_blind", "20 20 1"), ("record_claim", "5000 5000 1")],
    )
    driver.execute(
        "INSERT OR IGNORE INTO touched (group_id, rec) SELECT group_id, rec FROM record"
    )  # folded anew


RUNGS: Mapping[int, Rung] = {1: _knows_what_was_done_apart}
"""By the number that a file has before it: 1 leads from the first release to the second."""


def climb(driver: sqlite3.Connection, version: int) -> None:
    """Bring a file from its version to this release's, in a transaction that somebody else holds."""
    for before in range(version, SCHEMA):
        RUNGS[before](driver)
        driver.execute(f"PRAGMA user_version={before + 1}")

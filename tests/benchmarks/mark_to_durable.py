"""A tap of the thumb until it is safe on disk, against the same three statements of SQLite alone.

The subject checks the mark, makes and hashes its entry, and keeps the outbox and its indexes besides.
"""

import sqlite3
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from shared_models.entries import SealedEntry, seal
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Work, at_most, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.season_written import FRUIT
from tests.benchmarks.sizes import Sizes
from tests.builders import FieldPhone

TABLES = (
    "CREATE TABLE entry (id TEXT PRIMARY KEY, rec TEXT, kind TEXT, stamp TEXT, hash TEXT, body TEXT)",
    "CREATE TABLE mark (rec TEXT PRIMARY KEY, visit TEXT, cover TEXT, source TEXT, marks TEXT)",
    "CREATE TABLE phone (name TEXT PRIMARY KEY, value TEXT)",
)
NOTE = "PhoneStore.record of a mark; floor: insert entry, insert state, update last stamp, commit in sqlite3"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The middle touch, and the one that one in a hundred is slower than."""
    store = PhoneStore(folder / "phone.db")
    with raw_database(folder / "floor.db", *TABLES) as driver:
        driver.execute("INSERT INTO phone VALUES ('last_stamp', '')")
        times = in_turns(_touches(store, driver, sizes.touches * rounds))
    store.close()
    return [
        times.medians("mark_to_durable", "ms", MILLISECONDS, at_most(2.5), NOTE),
        times.slowest_in_hundred("mark_to_durable_p99", "ms", MILLISECONDS, at_most(3), NOTE),
    ]


def _touches(store: PhoneStore, driver: sqlite3.Connection, count: int) -> Iterator[tuple[Work, Work]]:
    store.begin("Ada", "Europe/Rome")
    garden = store.record("garden", {"name": "Hill", "hemisphere": "north"})
    tree = store.record("tree", {"label": "1", "garden": garden})
    phone = FieldPhone()
    when = phone.now()
    visit = store.record("visit", {"round": "picking", "tree": tree, "when": when})
    for number in range(count):
        fruit = FRUIT[number % len(FRUIT)]
        said = {"visit": visit, "source": "picked", "cover": "bare", "marks": [fruit]}
        sealed = seal(phone.makes("mark", said))
        yield partial(_raw_touch, driver, sealed), partial(store.record, "mark", said)


def _raw_touch(driver: sqlite3.Connection, sealed: SealedEntry) -> None:
    entry, said = sealed.entry, sealed.entry.f
    driver.execute("BEGIN IMMEDIATE")
    driver.execute(
        "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)",
        (entry.id, entry.rec, entry.kind, entry.stamp, sealed.hash, sealed.body),
    )
    driver.execute(
        "INSERT INTO mark VALUES (?, ?, ?, ?, ?)",
        (entry.rec, said["visit"], said["cover"], said["source"], said["marks"][0]),
    )
    driver.execute("UPDATE phone SET value = ? WHERE name = 'last_stamp'", (entry.stamp,))
    driver.execute("COMMIT")

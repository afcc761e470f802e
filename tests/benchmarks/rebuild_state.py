"""State thrown away and folded anew from the log, against reading every body and writing one row for each."""

import json
import sqlite3
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from sqlalchemy import Connection, create_engine

from shared_models.entries import SealedEntry
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP, SHARED_TABLES
from tests.benchmarks.measuring import MICROSECONDS, Ratio, Times, Work, at_most, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.sizes import Sizes

STATE = "CREATE TABLE state (rec TEXT PRIMARY KEY, kind TEXT, visit TEXT, fields TEXT)"
NOTE = "rebuild of all state from the log; floor: json.loads of every body, executemany of one row each"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The cost of an entry when all state is made anew."""
    history = sealed_entries(sizes.history)
    engine = create_engine(f"sqlite:///{folder / 'log.db'}")
    with raw_database(folder / "floor.db", STATE) as driver, engine.connect() as connection:
        _fill(connection, history)
        times = in_turns(_rebuilds(driver, connection, history, rounds))
    engine.dispose()
    return [_each(times, len(history))]


def _each(times: Times, entries: int) -> Ratio:
    return times.medians("rebuild_state", "µs an entry", MICROSECONDS / entries, at_most(4), NOTE)


def _fill(connection: Connection, history: list[SealedEntry]) -> None:
    connection.exec_driver_sql("PRAGMA journal_mode=WAL")
    connection.exec_driver_sql("PRAGMA synchronous=FULL")
    for table in SHARED_TABLES:
        table.create(connection)
    entry_log.append(connection, OWN_GROUP, history)
    connection.commit()


def _rebuilds(
    driver: sqlite3.Connection, connection: Connection, history: list[SealedEntry], rounds: int
) -> Iterator[tuple[Work, Work]]:
    bodies = [one.body for one in history]
    for _ in range(rounds):
        yield partial(_raw_rebuild, driver, bodies), partial(_rebuild, connection)


def _rebuild(connection: Connection) -> None:
    state.rebuild(connection, OWN_GROUP)
    connection.commit()


def _raw_rebuild(driver: sqlite3.Connection, bodies: list[str]) -> None:
    driver.execute("BEGIN IMMEDIATE")
    driver.execute("DELETE FROM state")
    driver.executemany("INSERT INTO state VALUES (?, ?, ?, ?)", (_row(body) for body in bodies))
    driver.execute("COMMIT")


def _row(body: str) -> tuple[str, str, str, str]:
    entry = json.loads(body)
    return entry["rec"], entry["kind"], entry["f"].get("visit"), json.dumps(entry["f"])

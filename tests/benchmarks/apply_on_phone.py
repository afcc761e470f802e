"""Pulled pages taken into a phone's store, state folded, against writing their bodies with sqlite3 alone."""

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from shared_models.digest import NOTHING
from shared_models.entries import SealedEntry
from shared_models.protocol import PullReply
from tests.benchmarks.measuring import MICROSECONDS, Ratio, Work, at_most, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.sizes import Sizes

EPOCH = "0123456789abcdef"
ENTRY = "CREATE TABLE entry (id TEXT PRIMARY KEY, seq INTEGER, body TEXT)"
NOTE = "a pulled page read and taken into the phone's store with its state; floor: executemany of its bodies"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The cost of an entry that comes from the group."""
    history = sealed_entries(sizes.history)
    turns = (turn for number in range(rounds) for turn in _phone(history, sizes.page, folder, number))
    times = in_turns(turns)
    scale = MICROSECONDS / sizes.page
    return [times.medians("apply_on_phone", "µs an entry", scale, at_most(20), NOTE)]


def _phone(history: list[SealedEntry], size: int, folder: Path, number: int) -> Iterator[tuple[Work, Work]]:
    """A fresh phone takes page after page."""
    store = PhoneStore(folder / f"phone{number}.db")
    store.begin("Ada", "Europe/Rome")
    with raw_database(folder / f"floor{number}.db", ENTRY) as driver:
        for since in range(0, len(history) - size + 1, size):
            yield _page(store, driver, history[since : since + size], since, len(history))
    store.close()


def _page(
    store: PhoneStore, driver: sqlite3.Connection, entries: Sequence[SealedEntry], since: int, newest: int
) -> tuple[Work, Work]:
    rows = [(one.entry.id, seq, one.body) for seq, one in enumerate(entries, since + 1)]
    items = ",".join(f'{{"seq":{seq},"entry":{body}}}' for _, seq, body in rows)
    head = f'"epoch":"{EPOCH}","digest":"{NOTHING}","server_time":"2026-08-20T06:00:00Z","since":{since},"to":{rows[-1][1]},"max":{newest}'
    answer = f'{{{head},"items":[{items}]}}'.encode()
    return lambda: _raw_page(driver, rows), lambda: store.incoming.take(PullReply.model_validate_json(answer))


def _raw_page(driver: sqlite3.Connection, rows: list[tuple[str, int, str]]) -> None:
    driver.execute("BEGIN IMMEDIATE")
    driver.executemany("INSERT INTO entry VALUES (?, ?, ?)", rows)
    driver.execute("COMMIT")

"""The least that a phone can do: send its texts, fetch pages, put what came into one table. Knows no Pomeward code."""

import sqlite3
from collections.abc import Sequence
from contextlib import AbstractContextManager
from pathlib import Path

import httpx
import orjson

from tests.benchmarks.raw_sqlite import raw_database

ENTRY = "CREATE TABLE IF NOT EXISTS entry (id TEXT PRIMARY KEY, seq INTEGER, body TEXT)"
PATH = "/entries"


def raw_phone(file: Path) -> AbstractContextManager[sqlite3.Connection]:
    """Its file, open until the block ends."""
    return raw_database(file, ENTRY)


def send(client: httpx.Client, bodies: Sequence[str], batch: int) -> None:
    """Push everything, plain, batch after batch."""
    for at in range(0, len(bodies), batch):
        body = f'{{"entries":[{",".join(bodies[at : at + batch])}]}}'
        client.post(PATH, content=body.encode()).raise_for_status()


def fetch(client: httpx.Client, driver: sqlite3.Connection, total: int, page: int) -> None:
    """Fetch packed pages until so many entries are here. Others may still be sending theirs."""
    here = 0
    while here < total:
        asked = {"since": here, "limit": page}
        items = orjson.loads(client.get(PATH, params=asked).raise_for_status().content)["items"]
        rows = [(one["entry"]["id"], one["seq"], orjson.dumps(one["entry"]).decode()) for one in items]
        driver.execute("BEGIN IMMEDIATE")
        driver.executemany("INSERT INTO entry VALUES (?, ?, ?)", rows)
        driver.execute("COMMIT")
        here += len(rows)

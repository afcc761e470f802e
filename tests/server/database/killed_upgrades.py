"""Upgrades that are killed at any moment: what is found then is all of before or all of after, and the next start goes on.

`python -m tests.server.database.killed_upgrades 200` kills as many on each database and says what was found.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable

from sqlalchemy import create_engine, text

from server.database.engine import open_database
from server.database.season import bring_up_to_log
from server.database.upgrading import NEWEST, version_of
from tests.nursery import Nursery
from tests.server.database.earlier import GROUP, schema_of, used_before

MARKS = 300
READS = "import alembic.command; from server.database.engine import open_database"


def kill_upgrades(new_address: Callable[[], str], kills: int, chance: random.Random) -> Counter[str]:
    """Kill so many upgrades; how often the tables were found as before and as after."""
    found: Counter[str] = Counter()
    with Nursery(READS, "open_database(given[0]).close()") as nursery:
        for _ in range(2):  # the first one takes longer than all that come after it
            address = new_address()
            used_before(address, MARKS)
            longest = nursery.seconds(address)
        for _ in range(kills):
            address = new_address()
            bodies = used_before(address, MARKS)
            found["killed before it was done"] += nursery.kill(chance.uniform(0, longest), address)
            found[_state(address)] += 1
            _goes_on(address, bodies)
    return found


def _state(address: str) -> str:
    """Whether the tables are as before or as after; never anything between."""
    engine = create_engine(address)
    with engine.connect() as connection:
        version = version_of(connection)
    tables = set(schema_of(engine))
    engine.dispose()
    assert version in (None, NEWEST)
    assert ("audit" in tables) is (version == NEWEST) and {"entry", "record", "mark"} <= tables
    return "found as after" if version else "found as before"


def _goes_on(address: str, bodies: list[str]) -> None:
    database = open_database(address)
    with database.writing() as connection:
        assert version_of(connection) == NEWEST
        kept = text(f"SELECT body FROM entry WHERE group_id = '{GROUP}' ORDER BY seq")
        assert list(connection.execute(kept).scalars()) == bodies
        assert bring_up_to_log(connection, GROUP) == len(bodies)
    database.close()


def main(kills: int) -> None:
    """Kill on both databases."""
    from tests.postgres import PrivatePostgres

    chance = random.Random(kills)
    with tempfile.TemporaryDirectory() as folder, PrivatePostgres() as postgres:
        numbers = iter(range(10**9))
        for name, new_address in (
            ("SQLite", lambda: f"sqlite:///{folder}/{next(numbers)}.sqlite"),
            ("PostgreSQL", postgres.new_database),
        ):
            print(name, dict(kill_upgrades(new_address, kills, chance)), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]))

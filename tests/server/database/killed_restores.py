"""Backups that are put back and killed at any moment: what is found then is the old database or the new one, whole.

`python -m tests.server.database.killed_restores 200` kills as many on each database and says what was found.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import create_engine, make_url, text

from server.database.engine import open_database
from server.services.backups import back_up, restore
from server.services.check import check
from server.services.connecting import Connecting
from tests.nursery import Nursery
from tests.server.database.earlier import GROUP, used_before

IN_BACKUP, HERE = 200, 300  # marks in the backup and in the database that is there
READS = "import alembic.command; from pathlib import Path; from server.services.backups import restore"
DOES = "restore(given[0], Path(given[1]), 'command of ada', sure=True)"


def kill_restores(
    new_address: Callable[[], str], folder: Path, kills: int, chance: random.Random
) -> Counter[str]:
    """Kill so many; how often the old database was found and how often the new one."""
    found: Counter[str] = Counter()
    backup = _backup(folder)
    with Nursery(READS, DOES) as nursery:
        for _ in range(2):  # the first one takes longer than all that come after it
            longest = nursery.seconds(_used(new_address()), str(backup))
        for _ in range(kills):
            address = _used(new_address())
            found["killed before it was done"] += nursery.kill(
                chance.uniform(0, longest), address, str(backup)
            )
            found[_state(address)] += 1
            _goes_on(address, backup)
    return found


def _used(address: str) -> str:
    used_before(address, HERE)
    open_database(address).close()
    return address


def _backup(folder: Path) -> Path:
    address = f"sqlite:///{folder / 'backed_up.sqlite'}"
    used_before(address, IN_BACKUP)
    database = open_database(address)
    back_up(database, folder / "backup.zip", "command of ada")
    database.close()
    return folder / "backup.zip"


def _state(address: str) -> str:
    """Which of the two is there; asserts that it is all of it."""
    engine = create_engine(address)
    with engine.connect() as connection:
        entries = connection.execute(text("SELECT count(*) FROM entry")).scalar_one()
        recovering = connection.execute(text("SELECT recovering FROM group_counter")).scalar_one()
        newest = connection.execute(text("SELECT seq FROM group_counter")).scalar_one()
        told = connection.execute(text("SELECT count(*) FROM audit WHERE what = 'restored'")).scalar_one()
    engine.dispose()
    assert (entries, recovering, newest, told) in (
        (HERE + 3, 0, HERE + 3, 0),
        (IN_BACKUP + 3, 1, IN_BACKUP + 3, 1),
    )
    return "the new one is there" if recovering else "the old one is there"


def _goes_on(address: str, backup: Path) -> None:
    """The next one succeeds, and leaves nothing half made."""
    done = restore(address, backup, "command of ada", sure=True)
    assert _state(address) == "the new one is there" and done.aside
    database = open_database(address)
    assert all(one.well for one in check(database, Connecting(database, b"key").group(GROUP)))
    database.close()
    if address.startswith("sqlite"):
        file = Path(make_url(address).database or "")
        assert [one.name for one in file.parent.glob(f"{file.name}?*")] == []


def main(kills: int) -> None:
    """Kill on both databases."""
    from tests.postgres import PrivatePostgres

    chance = random.Random(kills)
    with tempfile.TemporaryDirectory() as name, PrivatePostgres() as postgres:
        numbers = iter(range(10**9))
        folder = Path(name)
        for database, new_address in (
            ("SQLite", lambda: f"sqlite:///{folder}/{next(numbers)}.sqlite"),
            ("PostgreSQL", postgres.new_database),
        ):
            apart = folder / database
            apart.mkdir()
            print(database, dict(kill_restores(new_address, apart, kills, chance)), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]))

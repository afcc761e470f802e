"""A few upgrades killed at any moment; hundreds of them by the command of the module that does it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.server.conftest import BOTH
from tests.server.database.killed_upgrades import kill_upgrades

KILLS = 8


@pytest.mark.parametrize("database", BOTH)
def test_an_upgrade_that_is_killed_is_done_by_the_next_start(database: str, tmp_path: Path, request):
    numbers = iter(range(1000))

    def new_address() -> str:
        if database == "PostgreSQL":
            return request.getfixturevalue("postgres").new_database()
        return f"sqlite:///{tmp_path / str(next(numbers))}.sqlite"

    found = kill_upgrades(new_address, KILLS, random.Random())
    assert found["found as before"] + found["found as after"] == KILLS

"""A few backups put back and killed at any moment; hundreds of them by the command of the module that does it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.server.conftest import BOTH
from tests.server.database.killed_restores import kill_restores

KILLS = 6


@pytest.mark.parametrize("database", BOTH)
def test_a_restoring_that_is_killed_leaves_the_old_or_the_new(database: str, tmp_path: Path, request):
    numbers = iter(range(1000))

    def new_address() -> str:
        if database == "PostgreSQL":
            return request.getfixturevalue("postgres").new_database()
        return f"sqlite:///{tmp_path / str(next(numbers))}.sqlite"

    found = kill_restores(new_address, tmp_path, KILLS, random.Random())
    assert found["the old one is there"] + found["the new one is there"] == KILLS

"""Phones and their server are killed at work: nothing is lost, doubled or damaged."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = [
    pytest.mark.needs_server,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork"),
]
KILLS = int(os.environ.get("POMEWARD_PROCESS_KILLS", "20"))  # on each database
BOTH = [[], pytest.param(["--postgresql"], marks=pytest.mark.needs_postgres)]


@pytest.mark.timeout(120 + 3 * KILLS)
@pytest.mark.parametrize("database", BOTH, ids=["SQLite", "PostgreSQL"])
def test_nothing_is_lost_when_phones_and_server_are_killed(database: list[str]) -> None:
    command = [sys.executable, "-m", "tests.agreement.kills", str(KILLS), *database]
    done = subprocess.run(command, cwd=Path(__file__).parents[2], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    campaign = json.loads(done.stdout)
    assert sum(campaign["kills"].values()) == KILLS
    assert campaign["acknowledged"] > KILLS, "the phones hardly got through"
    assert campaign["amid_exchange"] + campaign["between_commit_and_reply"] > KILLS / 4, (
        "few kills hit the work"
    )

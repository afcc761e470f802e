"""The campaign of writers and readers as processes, in short; `python -m tests.agreement.cursor` runs as long a one as one likes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ENTRIES = 4000
FEW = ["--entries", str(ENTRIES)]
BOTH = [FEW, pytest.param([*FEW, "--postgresql", "--workers", "2"], marks=pytest.mark.needs_postgres)]
pytestmark = [
    pytest.mark.needs_server,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork"),
]


@pytest.mark.timeout(180)
@pytest.mark.parametrize("asked", BOTH, ids=["SQLite", "PostgreSQL"])
def test_nobody_misses_an_entry(asked: list[str]) -> None:
    command = [sys.executable, "-m", "tests.agreement.cursor", *asked]
    done = subprocess.run(command, cwd=Path(__file__).parents[2], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    campaign = json.loads(done.stdout)
    assert campaign["entries"] == ENTRIES and campaign["pages_while_written"] > 0
    assert campaign["idle_in_transaction"] == ("--postgresql" in asked)

"""A phone that is killed while it records loses nothing that it showed."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

KILLS = int(os.environ.get("POMEWARD_KILLS", "50"))


@pytest.mark.timeout(60 + 3 * KILLS)
@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_nothing_that_was_shown_is_lost_when_the_phone_is_killed() -> None:
    root = Path(__file__).parents[3]
    command = [sys.executable, "-m", "tests.mobile.storage.kill_campaign", "--kills", str(KILLS)]
    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    campaign = json.loads(done.stdout)
    assert campaign["kills"] == KILLS
    assert campaign["killed_while_recording"] > KILLS / 3, "too few kills hit a phone at work"

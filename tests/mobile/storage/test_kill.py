"""A phone that is killed at work loses nothing that it showed, whatever it was doing."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

KILLS = int(os.environ.get("POMEWARD_KILLS", "50"))
OTHER_KILLS = int(os.environ.get("POMEWARD_KILLS", "9"))  # of each scene but the first


def killed(scene: str, kills: int) -> dict[str, int]:
    """What a campaign came to; it is clean."""
    root = Path(__file__).parents[3]
    command = [
        sys.executable,
        "-m",
        "tests.mobile.storage.kill_campaign",
        "--scene",
        scene,
        "--kills",
        str(kills),
    ]
    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    campaign: dict[str, int] = json.loads(done.stdout)
    assert campaign["kills"] == kills
    return campaign


@pytest.mark.timeout(60 + 3 * KILLS)
@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_nothing_that_was_shown_is_lost_when_the_phone_is_killed() -> None:
    campaign = killed("marks", KILLS)
    assert campaign["killed_while_working"] > KILLS / 3, "too few kills hit a phone at work"


@pytest.mark.timeout(60 + 5 * OTHER_KILLS)
@pytest.mark.parametrize("scene", ["pages", "copies", "rescue", "upgrade"])
@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_nor_while_it_does_something_beside_recording(scene: str) -> None:
    campaign = killed(scene, OTHER_KILLS)
    assert campaign["killed_while_working"] > OTHER_KILLS / 5, "too few kills hit a phone at work"

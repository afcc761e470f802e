"""Kill a phone in the middle of its work, again and again, and look whether anything that it showed is gone.

    python -m tests.mobile.storage.kill_campaign --kills 500
    python -m tests.mobile.storage.kill_campaign --scene pages --kills 500

Each time a child process goes on with the same file and reports each thing on a pipe after the call that did it had
returned; it is killed (SIGKILL) 0 to 30 ms later (longer where the work takes longer), wherever it is. What it does is
in `kill_scenes.py`. Needs fork, so it runs in a process of its own.
"""

import argparse
import json
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from dataclasses import asdict
from pathlib import Path

from tests.mobile.storage.kill_scenes import SCENES, Campaign, Reports, Scene


def run(scene: Scene, kills: int, chance: random.Random) -> Campaign:
    """Kill as often as asked, looking at the file after each."""
    campaign = Campaign()
    for kill in range(kills):
        scene.before_kill()
        # The first commit on a file just opened is slow (it makes the journal): every other kill waits for it.
        lines = 1 + kill % 2
        reported = _worked_until_killed(scene, lines, chance.uniform(0, scene.longest))
        scene.look(reported, campaign)
        campaign.kills += 1
        marks = sum("-" in word for word in reported)
        campaign.reported += marks
        campaign.killed_while_working += bool(reported)
    return campaign


def _worked_until_killed(scene: Scene, lines: int, delay: float) -> list[str]:
    """What the child reported before it was killed, `delay` [s] after that many lines of its report."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _live(scene, writing)
    os.close(writing)
    with os.fdopen(reading) as reports:
        seen = [reports.readline() for _ in range(lines)]  # the first says that it has begun
        time.sleep(delay)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        if os.WIFEXITED(status):
            raise AssertionError("the child ended before it was killed")
        return [line.strip() for line in [*seen[1:], *reports] if line.endswith("\n")]


def _live(scene: Scene, pipe: int) -> None:
    try:
        scene.live(Reports(pipe))
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(1)


def main() -> int:
    """Run a campaign in a folder of its own and print what it came to."""
    parser = argparse.ArgumentParser(description="Kill a phone at work and look at its file.")
    parser.add_argument("--scene", choices=SCENES, default="marks")
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    chance = random.Random(asked.seed)
    with tempfile.TemporaryDirectory() as folder:
        campaign = run(SCENES[asked.scene](Path(folder), chance), asked.kills, chance)
    print(json.dumps({"scene": asked.scene, **asdict(campaign), "clean": campaign.clean}))
    return 0 if campaign.clean else 1


if __name__ == "__main__":
    sys.exit(main())

"""Kill a phone in the middle of recording, again and again, and look whether anything that it showed is gone.

    python -m tests.mobile.storage.kill_campaign --kills 500

Each time a child process records marks on the same file and reports each one on a pipe after `record` returned;
it is killed (SIGKILL) 0 to 30 ms later, wherever it is. Needs fork, so it runs in a process of its own.
"""

import argparse
import json
import os
import random
import signal
import sqlite3
import sys
import tempfile
import time
from dataclasses import asdict, dataclass, field
from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from tests.mobile.phones import mark, picking_visit

LONGEST = 0.030  # seconds


@dataclass
class Campaign:
    """What the kills so far came to; everything but the first three has to stay zero or empty."""

    kills: int = 0
    reported: int = 0
    killed_while_recording: int = 0
    lost: int = 0
    doubled: int = 0
    unreported_beyond_one: int = 0
    failed_checks: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        """Whether nothing was lost, doubled or damaged."""
        return not (self.lost or self.doubled or self.unreported_beyond_one or self.failed_checks)


def run(file: Path, kills: int, chance: random.Random) -> Campaign:
    """Kill as often as asked, looking at the file after each."""
    campaign = Campaign()
    visit = _prepared(file)
    shown: set[str] = set()
    there: set[str] = set()
    for kill in range(kills):
        # The first commit on a file just opened is slow (it makes the journal): every other kill waits for it.
        lines = 1 + kill % 2
        reported = _recorded_until_killed(file, visit, lines, chance.uniform(0, LONGEST))
        shown.update(reported)
        before, there = there, _look_at(file, visit, shown, campaign)
        campaign.unreported_beyond_one += max(0, len(there - before) - len(reported) - 1)
        campaign.kills += 1
        campaign.reported += len(reported)
        campaign.killed_while_recording += bool(reported)
    return campaign


def _prepared(file: Path) -> str:
    store = PhoneStore(file)
    store.begin("Keeper (invented)", "Europe/Rome")
    visit = picking_visit(store)
    store.close()
    return visit


def _recorded_until_killed(file: Path, visit: str, lines: int, delay: float) -> list[str]:
    """Ids that the child reported before it was killed, `delay` [s] after that many lines of its report."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _record_for_ever(file, visit, writing)
    os.close(writing)
    with os.fdopen(reading) as reports:
        seen = [reports.readline() for _ in range(lines)]  # the first says that the file is open
        time.sleep(delay)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return [line.strip() for line in [*seen[1:], *reports] if line.endswith("\n")]


def _record_for_ever(file: Path, visit: str, pipe: int) -> None:
    try:
        store = PhoneStore(file)
        os.write(pipe, b"ready\n")
        while True:
            os.write(pipe, mark(store, visit).encode() + b"\n")
    finally:
        os._exit(1)


def _look_at(file: Path, visit: str, shown: set[str], campaign: Campaign) -> set[str]:
    """Reopen the file and count; returns the marks that are there."""
    store = PhoneStore(file)
    counted = sum(count.n for count in store.tallies(visit))
    store.close()
    with sqlite3.connect(file) as connection:
        verdict = connection.execute("PRAGMA quick_check").fetchone()[0]
        logged = [row[0] for row in connection.execute("SELECT rec FROM entry WHERE kind = 'mark'")]
        outbox = connection.execute("SELECT count(*) FROM outbox WHERE kind = 'mark'").fetchone()[0]
    connection.close()
    there = set(logged)
    campaign.lost += len(shown - there)
    campaign.doubled += len(logged) - len(there) + int(counted != len(there)) + int(outbox != len(there))
    if verdict != "ok":
        campaign.failed_checks.append(verdict)
    return there


def main() -> int:
    """Run a campaign in a folder of its own and print what it came to."""
    parser = argparse.ArgumentParser(description="Kill a recording phone and look at its file.")
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        campaign = run(Path(folder) / "phone.db", asked.kills, random.Random(asked.seed))
    print(json.dumps({**asdict(campaign), "clean": campaign.clean}))
    return 0 if campaign.clean else 1


if __name__ == "__main__":
    sys.exit(main())

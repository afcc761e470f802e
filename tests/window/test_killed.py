"""Killed at any moment, on whatever screen: it opens at the same place with every number that was shown.

`KILLS` phones one after another are used without rest and killed; each next one opens what the one before left, and
is the check of it. `python -m tests.window.test_killed 500` does it that often and prints what was found.
"""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
KILLS, CHAINS = 52, 2  # so many in all, in so many chains at a time
MOST_ACTS, MOST_WAIT = 6, 0.15  # killed after up to so many acts and so many seconds


Event = dict[str, Any]  # a line that a restless phone told


def lived(folder: Path, seed: int, places: list[str]) -> list[Event]:
    """Let a phone live and kill it at a random moment; what it told from its start to its end."""
    chance = random.Random(seed)
    complaints = folder.with_suffix(".err")
    with complaints.open("w") as noted:
        running = subprocess.Popen(
            [sys.executable, "-m", "tests.window.restless", str(folder), str(seed), *places],
            cwd=ROOT,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            stderr=noted,
            text=True,
        )
    assert running.stdout is not None
    acts, told = chance.randint(1, MOST_ACTS), []
    lines = iter(running.stdout.readline, "")
    for line in lines:
        told.append(json.loads(line))
        if sum(one["what"] == "shown" for one in told) >= acts:
            break
    time.sleep(chance.uniform(0, MOST_WAIT))
    running.send_signal(signal.SIGKILL)
    told += [json.loads(line) for line in lines if line.endswith("\n")]
    running.stdout.close()
    assert running.wait() == -signal.SIGKILL, f"The phone ended by itself: {complaints.read_text()[-2000:]}"
    assert told and told[0]["what"] == "opened", told
    return told


class Memory:
    """What was shown last, in every place; says what is not so any more."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self._numbers: dict[str, dict[str, int]] = {}
        self._last: Event | None = None
        self._touching: Event | None = None

    def take(self, event: Event) -> None:
        """The next line that was told."""
        if event["what"] == "touching":
            self._touching = event
            return
        self._look_at_place(event)
        self._look_at_numbers(event)
        self._numbers[_place(event)] = event["numbers"]
        self._last, self._touching = event, None

    def _look_at_place(self, event: Event) -> None:
        """Where it was, or where the touch amid which it was killed led to."""
        if self._last is None:
            return
        to = self._touching if self._touching and "screen" in self._touching else None
        allowed = [_place(to)] if to else []
        if event["what"] == "opened" or not to:
            allowed.append(_place(self._last))
        if _place(event) not in allowed:
            self._fault(event, allowed)

    def _look_at_numbers(self, event: Event) -> None:
        """What stood there before, and one more where a pad was touched; certainly one more if that was shown."""
        before = self._numbers.get(_place(event))
        if before is None:
            return
        allowed = [before]
        if self._touching and "pad" in self._touching:
            more = {**before, self._touching["pad"]: before[self._touching["pad"]] + 1}
            allowed = [more] if event["what"] == "shown" else [before, more]
        if event["numbers"] not in allowed:
            self._fault(event, allowed)

    def _fault(self, event: Event, allowed: Any) -> None:
        self.faults.append(f"{event} after {self._last}, touching {self._touching}; could be {allowed}")


def _place(event: Event) -> str:
    return json.dumps([event["screen"], event["of"]], sort_keys=True)


def chain(folder: Path, kills: int, seed: int, places: list[str]) -> tuple[list[Event], list[str]]:
    """One phone's lives, one after another, and what was wrong; each life is the check of the one before."""
    memory, events = Memory(), []
    for number in range(kills + 1):
        for event in lived(folder, seed + number, places):
            memory.take(event)
            events.append(event)
    return events, memory.faults


def chains(folder: Path, kills: int, seed: int) -> tuple[list[Event], list[str]]:
    """Several phones at a time; all that was told, and what was wrong."""
    with ThreadPoolExecutor(CHAINS) as at_once:
        started = [
            at_once.submit(chain, path, kills // CHAINS, seed + 10_000 * number, places)
            for number, (path, places) in enumerate(_phones(folder))
        ]
        ended = [one.result() for one in started]
    events = [event for told, _ in ended for event in told]
    return events, [fault for _, faults in ended for fault in faults]


def _phones(folder: Path) -> Iterator[tuple[Path, list[str]]]:
    from tests.window.invented import used

    for number in range(CHAINS):
        phone = used(folder / str(number))
        traps = [f"trap:trap:{trap}" for trap in phone.traps[:2]]
        trees = [f"{screen}:tree:{tree}" for screen in ("bag_tree", "pick_tree") for tree in phone.trees[2:5]]
        yield phone.settings.data, [*traps, *trees]


@pytest.mark.timeout(1200)
def test_killed_at_any_moment_it_opens_there_with_every_number_that_was_shown(tmp_path: Path):
    events, faults = chains(tmp_path, KILLS, seed=1)
    assert faults == []
    shown = [event for event in events if event["what"] == "shown"]
    assert {event["screen"] for event in shown} >= {"trap", "bag_tree", "pick_tree"}
    assert len(shown) > KILLS and amid_a_touch(events) > KILLS / 10
    assert max(sum(event["numbers"].values()) for event in shown) > 3


def amid_a_touch(events: list[Event]) -> int:
    """How many were killed between a touch and what it shows."""
    return sum(one["what"] == "touching" and then["what"] == "opened" for one, then in pairwise(events))


def main(kills: int) -> int:
    """A campaign; 1 where anything was lost or doubled."""
    with tempfile.TemporaryDirectory() as folder:
        events, faults = chains(Path(folder), kills, seed=int(time.time()))
    told = Counter(event["what"] for event in events)
    screens = Counter(event["screen"] for event in events if event["what"] == "shown")
    print(
        f"{told['opened'] - CHAINS} kills followed by a start, {amid_a_touch(events)} of them amid a touch;"
    )
    print(f"{told['shown']} acts shown: {dict(screens)}; {len(faults)} faults")
    print(*faults, sep="\n")
    return 1 if faults else 0


if __name__ == "__main__":
    from tests.window import offscreen

    offscreen.prepare()
    sys.exit(main(int(sys.argv[1])))

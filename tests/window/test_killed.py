"""Killed while counting, at any moment: it opens at the same trap with every moth that was shown."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.trap_round import TrapRound
from tests.window.invented import Invented, open_at, shown_screen, used

ROOT = Path(__file__).parents[2]


def killed_while_counting(invented: Invented, moths: int, after: float) -> int:
    """Let a phone count this many moths, kill it `after` seconds; returns the last number that it showed."""
    running = subprocess.Popen(
        [sys.executable, "-m", "tests.window.counting", str(invented.settings.data), invented.traps[0]],
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert running.stdout is not None
    shown = 0
    while shown < moths:
        line = running.stdout.readline()
        assert line, "the phone ended by itself"
        shown = int(line)
    time.sleep(after)
    running.send_signal(signal.SIGKILL)
    shown = max([shown, *(int(line) for line in running.stdout if line.strip())])
    running.stdout.close()
    assert running.wait() == -signal.SIGKILL
    return shown


@pytest.mark.parametrize(("moths", "after"), [(1, 0.0), (2, 0.03), (4, 0.11)])
def test_killed_while_counting_it_opens_there_with_every_moth_that_was_shown(phone, tmp_path, moths, after):
    invented = used(tmp_path / "data")
    shown = killed_while_counting(invented, moths, after)
    invented.clock.time = datetime.now().astimezone()  # the killed phone lived by the real clock
    app = open_at(phone, invented, "trap", (360, 640))
    assert app.frame.way.here.about == {"trap": invented.traps[0]}
    number = int(shown_screen(app)._pad.number)
    assert shown <= number <= shown + 1  # one more may have been written and not shown yet
    store = PhoneStore(invented.settings.file, invented.clock)
    assert TrapRound(store).open(invented.traps[0]).view.number == number
    store.close()

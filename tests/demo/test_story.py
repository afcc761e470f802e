"""The story end to end, in a process of its own: real phones, a real server over HTTP, the files it leaves behind."""

from __future__ import annotations

import os
import pty
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import httpx
import pytest

from demo.checks import KEYS
from demo.place import PHONES
from demo.season import invent
from mobile.storage.phone_store import PhoneStore
from shared_models.reports import season_report
from shared_models.season.report_parts import SeasonReport
from shared_models.season_records import from_entries
from tests.demo.plain_recorder import entries_of

ROOT = Path(__file__).resolve().parents[2]
STORY = [sys.executable, "demo/run.py"]
# One worker tells the story for all of these tests (pytest-xdist, with --dist loadgroup).
pytestmark = [pytest.mark.timeout(600), pytest.mark.xdist_group("story")]
STAYS_UP = """
import sys
from pathlib import Path
from demo.serving import running_server
from demo.story import stay_up
with running_server(Path(sys.argv[1]), "Three gardens (invented)") as server:
    stay_up(server)
"""


@pytest.fixture(scope="module")
def kept(tmp_path_factory) -> Path:
    """Where the files of the story stay."""
    return tmp_path_factory.mktemp("story") / "kept"


@pytest.fixture(scope="module")
def told(kept) -> subprocess.CompletedProcess[str]:
    """The story as it was told once."""
    command = [*STORY, "--once", "--keep", str(kept)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=550, check=False)


def test_the_story_ends_with_every_check_holding(told):
    assert told.stderr == ""
    assert re.search(r"All \d+ checks hold\.", told.stdout), told.stdout[-3000:]
    assert told.returncode == 0


def test_the_main_screens_of_a_phone_are_drawn(told, kept):
    drawn = {picture.stem for picture in (kept / "pictures").glob("*.png")}
    assert drawn >= {"phone_today", "phone_trap", "phone_bags", "phone_picking", "phone_season"}
    assert all(name in told.stdout for name in drawn)


def test_the_story_fits_a_terminal_of_a_hundred_columns(told):
    assert max(len(line) for line in told.stdout.splitlines()) <= 100


def test_the_story_prints_one_table_a_season_beside_the_truth(told):
    assert re.findall(r"^Season (\S+): what the report says", told.stdout, re.MULTILINE) == KEYS
    assert re.search(
        r"^drops rounds \+ granulovirus \(CpGV\), of all fruit +14\.0 ", told.stdout, re.MULTILINE
    )


def test_the_story_repeats_the_cautions_that_come_with_a_spray(told):
    assert "The label is the law" in told.stdout


def test_the_story_shows_the_double_count_and_the_doubled_row(told):
    assert re.search(r"T1  2026-06-08 +\d+ moths? read, counts as 0", told.stdout)
    assert re.search(r"when both phones had shared +24 +12 +0 +6", told.stdout)
    assert re.search(r"after the other eleven pairs +12 +0 +12 +12", told.stdout)


@pytest.mark.parametrize("key", KEYS)
def test_phones_and_plain_entries_come_to_the_same_report(told, kept, key):
    plain = season_report(from_entries(entries_of(invent(1)), key))
    for name in PHONES:
        store = PhoneStore(kept / "phones" / f"{name}.sqlite")
        assert as_people_see(season_report(store.season(key))) == as_people_see(plain)
        store.close()


def as_people_see(report: SeasonReport) -> dict[str, Any]:
    """A report without the ids, which differ every time; lists by label."""
    labels = {line.tree: f"{line.garden} {line.label}" for line in report.trees}
    return {
        "scored": report.scored,
        "bags": report.bags_put_on,
        "spread": report.spread,
        "warnings": report.warnings,
        "mixes": [
            (
                line.mix,
                line.picked,
                line.picked_deep,
                line.all_fruit,
                line.warnings,
                sorted((labels[one.tree], one.rate, one.low, one.high, one.all_fruit) for one in line.trees),
            )
            for line in report.mixes
        ],
        "trees": sorted(
            (labels[line.tree], line.cultivar, line.status, line.bags_put_on, str(line.parts))
            for line in report.trees
        ),
        "untreated": sorted((labels[one.tree], one.after_scoring_began) for one in report.untreated),
        "left out": sorted((labels[one.tree], one.reason) for one in report.left_out),
        "traps": sorted(
            (
                trap.garden,
                trap.label,
                trap.catch,
                trap.trap_days,
                [
                    (one.day, one.state, one.raw, one.catch, one.days, one.double_of is not None)
                    for one in trap.visits
                ],
            )
            for trap in report.traps
        ),
    }


def test_with_a_terminal_it_stays_up_gives_an_address_at_each_enter_and_ends_at_ctrl_c(tmp_path):
    process_id, terminal = pty.fork()
    if process_id == 0:
        # Tests started in the background inherit a Ctrl-C that is ignored; in a terminal of its own it is not.
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        os.chdir(ROOT)
        os.execv(sys.executable, [sys.executable, "-c", STAYS_UP, str(tmp_path / "server")])
    first = _address(terminal)
    assert httpx.get(first, trust_env=False).status_code == 200
    os.write(terminal, b"\n")
    second = _address(terminal)
    assert second != first
    assert _ended_by_ctrl_c(process_id, terminal) == 0
    os.close(terminal)
    with pytest.raises(httpx.ConnectError):
        httpx.get(second, trust_env=False)


def _ended_by_ctrl_c(process_id: int, terminal: int) -> int:
    """Exit code. Python may lose a Ctrl-C that comes while it clears garbage away; people press it again."""
    for _ in range(10):
        os.write(terminal, b"\x03")
        patience = time.monotonic() + 6
        while time.monotonic() < patience:
            ended, status = os.waitpid(process_id, os.WNOHANG)
            if ended:
                return os.waitstatus_to_exitcode(status)
            time.sleep(0.05)
    raise AssertionError("it goes on after ten times Ctrl-C")


def _address(terminal: int) -> str:
    """The next one-time address in what the terminal shows."""
    shown, patience = b"", time.monotonic() + 60
    while time.monotonic() < patience:
        shown += os.read(terminal, 1024)
        found = re.search(rb"http://\S+code=\S+(?=\r?\n)", shown)
        if found:
            return found.group().decode()
    raise AssertionError(shown.decode())


def test_told_to_end_it_takes_its_server_with_it(tmp_path):
    process = subprocess.Popen([*STORY, "--once"], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    said = ""
    for line in process.stdout or ():
        said += line
        if "Server: " in line:
            break
    address = re.search(r"http://127\.0\.0\.1:\d+", said)
    assert address is not None
    assert httpx.get(f"{address.group()}/api/v1/hello", trust_env=False).status_code == 200
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=30)
    with pytest.raises(httpx.ConnectError):
        httpx.get(f"{address.group()}/api/v1/hello", trust_env=False)


def test_a_folder_with_something_in_it_is_not_written_to(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    command = [*STORY, "--once", "--keep", str(tmp_path)]
    told = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert told.returncode == 2
    assert "is not empty" in told.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]

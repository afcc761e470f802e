"""The phone's file: what is opened, what is left alone, and what a failing device does."""

import sqlite3
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.storage.upgrades import SCHEMA
from shared_models.errors import StoreError
from tests.mobile.phones import Phones, mark, picking_visit

ROOT = Path(__file__).parents[3]


def refuses(file: Path, words: str) -> None:
    """Opening is refused in a sentence, and the file and its folder stay as they were."""
    before = {path.name: path.read_bytes() for path in file.parent.iterdir()}
    with pytest.raises(StoreError, match=words):
        PhoneStore(file)
    assert {path.name: path.read_bytes() for path in file.parent.iterdir()} == before


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "phone.db"
    file.write_bytes(b"Dear diary, today the codling moths came.\n" * 200)
    refuses(file, "damaged or is no Pomeward file")


def test_the_database_of_another_program_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "phone.db"
    with sqlite3.connect(file) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    other.close()
    refuses(file, "no Pomeward file")


def test_a_file_of_a_newer_app_is_left_alone(phones: Phones, phone: PhoneStore) -> None:
    phones.close()
    file = phones.folder / "phone.db"
    with sqlite3.connect(file) as newer:
        newer.execute(f"PRAGMA user_version={SCHEMA + 1}")
    newer.close()
    refuses(file, "newer Pomeward")


def test_a_folder_that_is_not_there_is_told_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be opened for writing"):
        PhoneStore(tmp_path / "nowhere" / "phone.db")
    assert list(tmp_path.iterdir()) == []


def test_only_this_user_can_read_the_file(phones: Phones, phone: PhoneStore) -> None:
    for path in phones.folder.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name


def test_the_file_and_its_list_of_what_is_not_shared_are_left_after_closing(
    phones: Phones, phone: PhoneStore
) -> None:
    picking_visit(phone)
    phones.close()
    assert sorted(path.name for path in phones.folder.iterdir()) == ["phone.db", "phone.db.unsent"]


def test_closing_twice_is_harmless_and_a_closed_phone_says_so(phone: PhoneStore) -> None:
    phone.close()
    phone.close()
    with pytest.raises(StoreError):
        phone.record("garden", {"name": "Hill", "hemisphere": "north"})


def test_every_commit_reaches_the_disk(phone: PhoneStore) -> None:
    for line in (phone._database._writer, phone._database._reader):
        values = [
            line.driver.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous")
        ]
        assert values == ["wal", 2], "2 is FULL: the journal is synced before commit returns"


def test_a_full_store_saves_nothing_and_goes_on_when_there_is_room(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    pages = phone._database._writer.driver.execute("PRAGMA page_count").fetchone()[0]
    phone._database._writer.driver.execute(f"PRAGMA max_page_count={pages}")
    saved = 0
    with pytest.raises(StoreError, match="no room left"):
        for _ in range(500):
            mark(phone, visit)
            saved += 1
    assert [count.n for count in phone.tallies(visit)] == ([saved] if saved else [])
    newest = phone.history(1)[0].stamp
    phone._database._writer.driver.execute("PRAGMA max_page_count=1000000")
    assert phone.entries_of(mark(phone, visit))[0].stamp > newest
    assert sum(count.n for count in phone.tallies(visit)) == saved + 1


_LIMITED = """
import resource, sys
from pathlib import Path
from mobile.storage.phone_store import PhoneStore
from shared_models.errors import StoreError
from tests.mobile.phones import mark, picking_visit
store = PhoneStore(Path(sys.argv[1]))
store.begin("Keeper (invented)", "Europe/Rome")
visit = picking_visit(store)
resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000, resource.RLIM_INFINITY))
saved = 0
try:
    while True:
        mark(store, visit)
        saved += 1
except StoreError as error:
    sentence = str(error)
counted = sum(count.n for count in store.tallies(visit))
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
mark(store, visit)
after = sum(count.n for count in store.tallies(visit))
store.close()
print(saved, counted, after, sentence)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="this system knows no limit of file size")
def test_a_write_that_the_device_refuses_is_loud_and_the_number_does_not_advance(tmp_path: Path) -> None:
    file = tmp_path / "phone.db"
    done = subprocess.run(
        [sys.executable, "-c", _LIMITED, str(file)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    saved, counted, after, *sentence = done.stdout.split()
    assert int(saved) > 10 and counted == saved and int(after) == int(saved) + 1
    assert "Everything" in sentence
    with sqlite3.connect(file) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    connection.close()


def test_a_second_window_waits_for_the_first(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    other = phones.open()
    with phone._database.writing():
        held = threading.Thread(target=mark, args=(other, visit))
        held.start()
        time.sleep(0.2)
        assert held.is_alive()
    held.join()
    assert sum(count.n for count in phone.tallies(visit)) == 1


def test_a_window_that_waits_too_long_says_so_and_saves_nothing(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    other = phones.open()
    other._database._writer.driver.execute("PRAGMA busy_timeout=50")
    with phone._database.writing(), pytest.raises(StoreError, match="Another window"):
        mark(other, visit)
    assert phone.tallies(visit) == []


_WINDOW = """
import sys
from pathlib import Path
from mobile.storage.phone_store import PhoneStore
from tests.mobile.phones import mark
for _ in range(10):
    store = PhoneStore(Path(sys.argv[1]))
    for _ in range(5):
        mark(store, sys.argv[2])
    store.close()
"""


def test_two_processes_on_one_file_lose_and_double_nothing(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    command = [sys.executable, "-c", _WINDOW, str(phones.folder / "phone.db"), visit]
    windows = [subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) for _ in range(2)]
    for _ in range(20):
        mark(phone, visit)
    for window in windows:
        _, complaint = window.communicate(timeout=60)
        assert window.returncode == 0, complaint
    assert sum(count.n for count in phone.tallies(visit)) == 120
    stamps = [entry.stamp for entry in phone.history(10_000)]
    assert len(set(stamps)) == len(stamps) == 124


def test_two_processes_may_open_a_new_file_at_the_same_moment(tmp_path: Path) -> None:
    program = "import sys, pathlib; from mobile.storage.phone_store import PhoneStore as P; P(pathlib.Path(sys.argv[1])).close()"
    command = [sys.executable, "-c", program, str(tmp_path / "phone.db")]
    starts = [subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    for start in starts:
        _, complaint = start.communicate(timeout=60)
        assert start.returncode == 0, complaint

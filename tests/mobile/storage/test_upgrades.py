"""Files of earlier releases: what they become is what a new file is, all of it or nothing of it."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from mobile.storage import upgrades
from mobile.storage.database import APPLICATION
from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from shared_models.errors import StoreError
from tests.mobile.phones import Phones, mark, picking_visit, total
from tests.mobile.storage import later_release

FIRST_RELEASE = Path(__file__).parent / "first_release.sql"


@pytest.fixture
def release(monkeypatch: pytest.MonkeyPatch) -> None:
    """Afterwards, this release again."""
    monkeypatch.setattr(upgrades, "SCHEMA", upgrades.SCHEMA)
    monkeypatch.setattr(upgrades, "RUNGS", upgrades.RUNGS)


def of_first_release(file: Path) -> Path:
    """A file as the first release made it."""
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.executescript(FIRST_RELEASE.read_text())
    return file


def shape(file: Path) -> dict[str, object]:
    """Tables with their columns, indexes with what they are of: what SQLite does by, not how it was written."""
    with closing(sqlite3.connect(file)) as connection:
        found: dict[str, object] = {
            name: connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("application_id", "user_version", "journal_mode")
        }
        for kind, name, sql in connection.execute("SELECT type, name, sql FROM sqlite_schema").fetchall():
            pragma = "table_xinfo" if kind == "table" else "index_xinfo"
            rows = [row[1:] for row in connection.execute(f"PRAGMA {pragma}({name})")]
            said = (sql or "").upper()
            found[f"{kind} {name}"] = (rows, "WITHOUT ROWID" in said, said.partition(" WHERE ")[2])
        found["statistics"] = sorted(connection.execute("SELECT tbl, idx, stat FROM sqlite_stat1"))
        return found


def test_there_is_a_rung_for_each_release_since_the_first() -> None:
    assert set(upgrades.RUNGS) == set(range(1, upgrades.SCHEMA))


def test_a_file_of_the_first_release_becomes_what_a_new_file_is(tmp_path: Path) -> None:
    """Fails when a table changes without a rung that changes it in the files that are out there."""
    PhoneStore(of_first_release(tmp_path / "old.db")).close()
    PhoneStore(tmp_path / "new.db").close()
    assert shape(tmp_path / "old.db") == shape(tmp_path / "new.db")
    assert shape(tmp_path / "new.db")["application_id"] == APPLICATION


def test_a_file_of_the_first_release_is_worked_with(tmp_path: Path) -> None:
    store = PhoneStore(of_first_release(tmp_path / "phone.db"))
    store.begin("Ida", "Europe/Rome")
    visit = picking_visit(store)
    mark(store, visit)
    assert total(store, visit) == 1
    store.close()


def test_what_was_set_apart_before_the_second_release_is_told_after_it(
    phones: Phones, phone: PhoneStore
) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    trap = phone.record("trap", {"label": "1", "garden": garden})
    told = {"trap": trap, "state": "counted", "moths": 1, "when": "2026-06-01"}
    for _ in range(2):
        phone.record("trap_visit", told)
    phone.record_all([Draft("trap", {"label": label}, trap, {"label": trap}) for label in "23"])
    before = phone.looks.blind_edits(), phone.looks.double_counts()
    phones.close()
    for name in ("blind", "claim"):
        phones.in_the_file("phone.db", f"DROP INDEX record_{name}")
        phones.in_the_file("phone.db", f"ALTER TABLE record DROP COLUMN {name}")
    phones.in_the_file("phone.db", "DELETE FROM sqlite_stat1 WHERE idx IN ('record_blind', 'record_claim')")
    phones.in_the_file("phone.db", "PRAGMA user_version = 1")
    again = phones.open()
    assert (again.looks.blind_edits(), again.looks.double_counts()) == before and again.looks.count() == 2


@pytest.mark.usefixtures("release")
def test_every_rung_is_climbed_and_nothing_is_lost(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    before = phone.history(100)
    phones.close()
    later_release.become()
    again = phones.open()
    assert again.history(100) == before and total(again, visit) == 1
    mark(again, visit)
    phones.close()
    with closing(sqlite3.connect(phones.folder / "phone.db")) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == later_release.LATER
        assert connection.execute("SELECT sum(entries) FROM told").fetchone()[0] == len(before)
    phones.open()  # the rungs are behind it


@pytest.mark.usefixtures("release")
def test_a_rung_that_breaks_leaves_the_file_as_it_was(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    phones.close()
    before = shape(phones.folder / "phone.db")

    def full(driver: sqlite3.Connection) -> None:
        driver.execute("CREATE TABLE told (rec TEXT)")
        pages = driver.execute("PRAGMA page_count").fetchone()[0]
        driver.execute(f"PRAGMA max_page_count={pages}")
        driver.execute(
            "INSERT INTO told WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n LIMIT 100000) "
            "SELECT x FROM n"
        )

    later_release.become(full)
    with pytest.raises(StoreError, match="no room left"):
        phones.open()
    assert shape(phones.folder / "phone.db") == before
    later_release.become()
    assert total(phones.open(), visit) == 1


@pytest.mark.usefixtures("release")
def test_a_copy_of_an_earlier_release_is_upgraded_when_it_is_put_back(
    phones: Phones, phone: PhoneStore
) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    phone.safe_keeping.keep_safe()
    phones.close()
    later_release.become()
    shutil.copy(phones.folder / "phone.db.backup-1", phones.folder / "phone.db")
    again = phones.open()
    assert total(again, visit) == 1
    phones.close()
    (phones.folder / "phone.db").write_bytes(b"")  # a new file is filled from the copy of an earlier release
    with closing(sqlite3.connect(phones.folder / "phone.db.backup-1")) as copy:
        assert copy.execute("PRAGMA user_version").fetchone()[0] == later_release.NOW


@pytest.mark.usefixtures("release")
def test_a_newer_file_is_left_alone_by_an_older_app(phones: Phones, phone: PhoneStore) -> None:
    phones.close()
    file = phones.folder / "phone.db"
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(f"PRAGMA user_version={upgrades.SCHEMA + 1}")
    before = file.read_bytes()
    with pytest.raises(StoreError, match="newer Pomeward"):
        phones.open()
    assert file.read_bytes() == before

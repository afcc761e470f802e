"""What the first frame knows of a phone's file, whatever state the file is in."""

import sqlite3
from pathlib import Path

import pytest

from mobile.storage.glimpse import Glimpse, glimpse
from mobile.storage.phone_store import PhoneStore

NOTHING = Glimpse({}, "")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A phone's file with choices and a place."""
    path = tmp_path / "phone with a # and a ? in its name.db"
    store = PhoneStore(path)
    store.save_choices({"scheme": "dusk", "type_size": 1.5})
    store.save_place({"here": {}, "behind": [], "title": "At the trap"})
    store.close()
    return path


def test_choices_and_title_are_seen(file: Path) -> None:
    assert glimpse(file) == Glimpse({"scheme": "dusk", "type_size": 1.5}, "At the trap")


def test_it_is_seen_beside_an_open_store_and_after_one_that_was_killed(file: Path) -> None:
    store = PhoneStore(file)
    store.save_place({"here": {}, "behind": [], "title": "Bags"})
    assert glimpse(file).title == "Bags"  # from the journal, which a killed phone leaves behind as it is
    store.close()


def test_looking_leaves_the_file_as_it_was(file: Path) -> None:
    before = {path.name: path.read_bytes() for path in file.parent.iterdir()}
    glimpse(file)
    after = {path.name: path.read_bytes() for path in file.parent.iterdir()}
    assert {name: data for name, data in after.items() if data and not name.endswith("-shm")} == before
    PhoneStore(file).close()


def test_without_a_file_nothing_is_seen_and_none_is_made(tmp_path: Path) -> None:
    assert glimpse(tmp_path / "none.db") == NOTHING
    assert list(tmp_path.iterdir()) == []


def test_what_is_no_phone_file_is_passed_over(tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    other.write_bytes(b"no database at all" * 100)
    assert glimpse(other) == NOTHING


@pytest.mark.parametrize("text", ["", "[]", "{", "7", '{"title": 7}'])
def test_what_cannot_be_read_is_left_out(file: Path, text: str) -> None:
    with sqlite3.connect(file) as driver:
        driver.execute("UPDATE phone SET value = ? WHERE name = 'place'", (text,))
    driver.close()
    assert glimpse(file) == Glimpse({"scheme": "dusk", "type_size": 1.5}, "")

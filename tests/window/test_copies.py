"""Copies with a finger: made and tried out, taken in after a look, asked for on Today, and what cannot be."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from mobile.app import PomewardApp
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.copies import make_copy
from mobile.workflows.device_choices import choices
from tests.mobile.phones import mark, picking_visit
from tests.shared_models.copy_file.archives import made_up
from tests.window.invented import Invented, fresh, open_at, shown_screen, used
from tests.window.look import complaints
from tests.window.phone import Phone

PHONE = (360, 640)


@dataclass
class FilesOfTheTest:
    """A device that hands on what it is given, and whose person chooses one file."""

    place: Path
    can_hand_out: bool = True
    can_choose: bool = True
    handed: list[str] = field(default_factory=list)
    chosen: str = ""
    asked: list[Callable[[str], None]] = field(default_factory=list)

    def folder(self) -> str:
        """Where copies go."""
        return str(self.place)

    def hand_out(self, file: str) -> None:
        """Note what was handed on."""
        self.handed.append(file)

    def choose(self, then: Callable[[str], None]) -> None:
        """The person chooses at once, or later."""
        self.asked.append(then)
        if self.chosen:
            then(self.chosen)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone that was used and never connected."""
    return used(tmp_path / "phone")


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A folder for copies."""
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


@pytest.fixture
def theirs(tmp_path: Path, stick: Path) -> str:
    """A copy of another phone."""
    other = fresh(tmp_path / "other")
    other.settings.make_folder()
    store = PhoneStore(other.settings.file, other.clock)
    store.begin("Bo", "Europe/Rome")
    mark(store, picking_visit(store))
    made = make_copy(store, str(stick))
    store.close()
    return made.file


def on_the_phone(invented: Invented) -> PhoneStore:
    """Its store, as after closing the app."""
    return PhoneStore(invented.settings.file, invented.clock)


def held(invented: Invented) -> int:
    """How many entries the phone holds."""
    store = on_the_phone(invented)
    count = store.entries_held()
    store.close()
    return count


def with_files(invented: Invented, files: FilesOfTheTest) -> PomewardApp:
    """The app on a device of the test."""
    return PomewardApp(invented.settings, invented.clock, files=files)


def open_with(phone: Phone, app: PomewardApp, screen: str) -> None:
    """Open an app at a screen."""
    phone.open(app, PHONE)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    app.frame.go(screen)
    phone.settle()


def test_a_copy_is_made_into_the_folder_that_was_typed(phone, invented, stick):
    records = held(invented)
    open_at(phone, invented, "sharing", PHONE)
    phone.touch("Copies")
    assert phone.sees(f"{records} records would be lost") and phone.sees(
        "No copy was made on this phone yet."
    )
    phone.fill("Folder to put the copy into", str(stick))
    phone.touch("Make a copy")
    phone.until(lambda: phone.sees(f"The copy is good: {records} records, tried out."))
    phone.settle()
    assert phone.sees("A copy was made and tried out.") and phone.sees("Make a copy")
    assert [file.suffix for file in stick.iterdir()] == [".copy"]
    phone.wait(1.5)
    phone.settle()
    assert phone.sees("last copy 09:10")
    phone.close()
    assert held(invented) == records  # a copy is no record


def test_a_folder_that_is_not_there_is_told_and_what_was_typed_stays(phone, invented, stick):
    open_at(phone, invented, "copies", PHONE)
    phone.fill("Folder to put the copy into", str(stick / "nowhere"))
    phone.touch("Make a copy")
    assert phone.sees("No copy was made: nothing can be written into")
    phone.touch("Close")
    assert phone.sees(str(stick / "nowhere"))
    phone.touch("Make a copy")
    assert phone.sees("No copy was made: nothing can be written into")
    phone.close()
    open_at(phone, invented, "copies", PHONE)
    assert phone.sees(str(stick / "nowhere"))


def test_a_device_that_can_hands_the_copy_to_another_app_at_one_touch(phone, invented, stick):
    files = FilesOfTheTest(stick)
    open_with(phone, with_files(invented, files), "copies")
    assert not phone.sees("Folder to put")
    phone.touch("Make a copy")
    phone.until(lambda: files.handed)
    phone.settle()
    phone.touch("Hand it on once more")
    (file,) = stick.iterdir()
    assert files.handed == [str(file)] * 2


def test_a_copy_is_looked_at_before_it_is_taken_in(phone, invented, theirs):
    before = held(invented)
    open_at(phone, invented, "copies", PHONE)
    phone.touch("Take in a copy")
    phone.fill("Where the file is", theirs)
    phone.touch("Look at it")
    assert phone.sees("A copy of “Bo”, made on Thursday 4 June 2026 at 09:10.")
    assert phone.sees("It holds 5 records; 5 of them are not on this phone yet.")
    assert complaints() == []
    phone.touch("Take it in")
    assert phone.sees("5 new records. 0 were here already.") and phone.sees("The copy was taken in.")
    phone.touch("Look at it")
    assert phone.sees("There is nothing to take in.")
    phone.touch("Back")
    assert phone.sees("Taken in last")
    phone.close()
    assert held(invented) == before + 5


def test_another_file_is_looked_at_anew(phone, invented, theirs):
    open_at(phone, invented, "take_in_copy", PHONE)
    phone.fill("Where the file is", theirs)
    phone.touch("Look at it")
    assert phone.sees("Take it in")
    phone.fill("Where the file is", theirs + "x")
    assert phone.sees("Look at it") and not phone.sees("It holds")
    phone.touch("Look at it")
    assert phone.sees("cannot be read. Nothing was taken in")
    phone.touch("Close")
    assert phone.sees("Look at it")


def test_a_damaged_copy_is_told_and_changes_nothing(phone, invented, stick):
    before = held(invented)
    (stick / "bad.copy").write_bytes(made_up(b"{}\n", entries=7))
    open_at(phone, invented, "take_in_copy", PHONE)
    phone.fill("Where the file is", str(stick / "bad.copy"))
    phone.touch("Look at it")
    assert phone.sees("This copy is damaged or was cut off. Nothing was taken from it")
    phone.close()
    assert held(invented) == before


def test_a_file_is_chosen_where_the_device_can_show_its_files(phone, invented, stick, theirs):
    files = FilesOfTheTest(stick, chosen=theirs)
    open_with(phone, with_files(invented, files), "take_in_copy")
    phone.touch("Choose a file")
    phone.settle()
    assert phone.sees(theirs) and phone.sees("It holds 5 records")


def test_a_file_that_is_chosen_after_going_elsewhere_is_passed_over(phone, invented, stick, theirs):
    files = FilesOfTheTest(stick)
    app = with_files(invented, files)
    open_with(phone, app, "take_in_copy")
    phone.touch("Choose a file")
    app.frame.go("today")
    phone.settle()
    files.asked[0](theirs)
    phone.settle()
    assert app.frame.way.here.screen == "today" and not phone.sees("It holds")


def test_where_the_device_cannot_show_its_files_it_says_so(phone, invented, stick):
    files = FilesOfTheTest(stick, can_choose=False)
    open_with(phone, with_files(invented, files), "take_in_copy")
    assert phone.sees("This device shows no list of files; type where the file is.")


def test_today_asks_for_a_copy_and_leads_to_it(phone, invented):
    invented.clock.move(days=8)
    app = open_at(phone, invented, "today", PHONE)
    assert phone.sees("records are on this phone only. No copy was made yet.")
    phone.touch("Make a copy")
    assert app.frame.way.here.screen == "copies"


def test_it_is_put_off_for_a_week_and_taken_back(phone, invented):
    invented.clock.move(days=8)
    open_at(phone, invented, "today", PHONE)
    phone.touch("In a week")
    assert not phone.sees("No copy was made yet") and phone.sees("You are asked for a copy in a week.")
    phone.touch("Undo")
    assert phone.sees("No copy was made yet")
    phone.touch("In a week")
    phone.close()
    invented.clock.move(days=8)
    open_at(phone, invented, "today", PHONE)
    assert phone.sees("No copy was made yet")


def test_who_never_wants_to_be_asked_is_not_and_settings_bring_it_back(phone, invented):
    invented.clock.move(days=8)
    app = open_at(phone, invented, "today", PHONE)
    phone.touch("Never ask")
    assert not phone.sees("No copy was made yet")
    app.frame.go("settings")
    phone.settle()
    phone.touch("Remind me to make a copy")
    app.frame.go("today")
    phone.settle()
    assert phone.sees("No copy was made yet")
    phone.close()
    store = on_the_phone(invented)
    assert choices(store).remind_of_copies
    store.close()


@pytest.mark.parametrize("size", [(360, 640), (640, 360)])
def test_the_notice_can_be_read_and_touched_with_large_type(phone, tmp_path, size):
    invented = used(tmp_path / "data", "dusk", 1.5)
    invented.clock.move(days=8)
    open_at(phone, invented, "today", size)
    assert complaints() == []


def test_what_came_of_a_copy_can_be_read_with_large_type(phone, tmp_path, stick, theirs):
    invented = used(tmp_path / "data", "sun", 1.5)
    app = open_at(phone, invented, "take_in_copy", PHONE)
    phone.fill("Where the file is", theirs)
    phone.touch("Look at it")
    assert complaints() == []
    phone.touch("Take it in")
    assert complaints() == []
    app.frame.go("copies")
    phone.settle()
    phone.fill("Folder to put the copy into", str(stick))
    phone.touch("Make a copy")
    phone.settle()
    assert complaints() == [] and shown_screen(app).title == "Copies"


@pytest.fixture
def dialogue(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program of the desktop that asks for a file and answers what a file beside it says; closed where that is empty."""
    folder = tmp_path / "programs"
    folder.mkdir()
    answer = folder / "answer"
    program = folder / "zenity"
    program.write_text(f'#!/bin/sh\ntest -s "{answer}" || exit 1\ncat "{answer}"\n')
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder), prepend=":")
    return answer


def test_the_desktop_s_own_dialogue_asks_for_a_file(phone, invented, theirs, dialogue):
    dialogue.write_text(theirs)
    open_at(phone, invented, "take_in_copy", PHONE)
    phone.touch("Choose a file")
    phone.until(lambda: phone.sees("It holds 5 records"))
    assert phone.sees(theirs)


def test_a_dialogue_that_was_closed_changes_nothing(phone, invented, dialogue):
    dialogue.write_text("")
    open_at(phone, invented, "take_in_copy", PHONE)
    phone.touch("Choose a file")
    phone.until(lambda: not asking())
    phone.settle()
    assert phone.sees("Look at it") and not phone.sees("It holds")


def asking() -> bool:
    """Whether the device still waits for its dialogue."""
    return any(thread.name == "pomeward-choose" for thread in threading.enumerate())

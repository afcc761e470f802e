"""What the person is told of a damaged file: what happened, what was saved from where, what to do."""

from pathlib import Path

import pytest

from mobile.__main__ import main
from mobile.storage.phone_store import PhoneStore
from mobile.storage.saved import Saved
from mobile.workflows import saved_records
from mobile.workflows.saved_records import check_of_the_week, saved_in_words, was_read
from mobile.workflows.sharing import sharing_view
from tests.mobile.phones import Phones, mark, picking_visit
from tests.mobile.storage.test_backups import connected

AT = "2026-09-12T10:00:00+02:00"


def told(store: PhoneStore, monkeypatch: pytest.MonkeyPatch, *saved: Saved) -> str:
    """All that is said of this."""
    monkeypatch.setattr(type(store.safe_keeping), "saved", lambda _: list(saved))
    return " ".join(saved_in_words(store))


def test_nothing_is_said_where_nothing_happened(phone: PhoneStore) -> None:
    assert saved_in_words(phone) == [] and check_of_the_week(phone) is None


def test_every_place_is_named_with_its_number(phone: PhoneStore, monkeypatch: pytest.MonkeyPatch) -> None:
    saved = Saved(
        AT, from_file=1, from_copy=20, from_list=3, altered=2, copied_at=AT, kept_as="phone.db.damaged"
    )
    assert told(phone, monkeypatch, saved) == (
        "The file of this phone’s records was damaged. 24 records were saved into a new file. "
        "Found in: the damaged file (1), the copy of Saturday 12 September (20), "
        "the list of what was not shared yet (3). "
        "2 records were altered by the damage and left out. "
        "Nothing was deleted: the damaged file is kept beside the new one. "
        "Look through the history: what is missing there has to be recorded again."
    )


def test_what_was_missing_without_a_damaged_file_was_put_back(
    phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = told(phone, monkeypatch, Saved(AT, from_list=1))
    assert said == (
        "1 record was missing from this phone’s file and was put back. "
        "Found in: the list of what was not shared yet (1)."
    )


def test_a_connected_phone_has_nothing_to_do(phone: PhoneStore, monkeypatch: pytest.MonkeyPatch) -> None:
    connected(phone)
    assert "Nothing to do" in told(phone, monkeypatch, Saved(AT, from_file=5, kept_as="x"))


def test_a_phone_that_lost_its_token_is_to_be_connected_again(
    phones: Phones, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    connected(phone)
    phones.in_the_file("phone.db", "DELETE FROM phone WHERE name = 'token'")
    said = told(phone, monkeypatch, Saved(AT, from_copy=5, kept_as="x"))
    assert "a copy (5)" in said and "Connect this phone to the group “Hillside” again" in said
    (standing,) = sharing_view(phone).standing
    assert "Hillside" in standing and "connect it again" in standing


def test_the_command_tells_it_once(phones: Phones, capsys: pytest.CaptureFixture[str]) -> None:
    store = phones.begun()
    mark(store, picking_visit(store))
    phones.close()
    (phones.folder / "phone.db").write_bytes(b"")
    for expected in (1, 0):
        assert main(["--data", str(phones.folder), "history", "--limit", "1"]) == 0
        capsys.readouterr()
        saved_records_shown(phones.folder)
        assert capsys.readouterr().out.count("was damaged") == expected


def saved_records_shown(folder: Path) -> None:
    """What `pomeward-phone` without a command prints where no window can open."""
    import argparse

    from mobile.__main__ import _tell
    from mobile.bootstrap import started
    from mobile.settings import settings_for

    with started(settings_for(folder)) as phone:
        _tell(phone, argparse.Namespace())


def test_what_was_read_is_told_no_more(phones: Phones) -> None:
    store = phones.begun()
    picking_visit(store)
    phones.close()
    (phones.folder / "phone.db").unlink()
    again = phones.open()
    assert len(saved_in_words(again)) == 4
    was_read(again)
    assert saved_in_words(again) == []


def test_damage_found_while_working_is_said_with_what_to_do(phones: Phones, phone: PhoneStore) -> None:
    mark(phone, picking_visit(phone))
    phones.in_the_file("phone.db", "UPDATE entry SET body = replace(body, 'picked', 'packed')")
    sentence = check_of_the_week(phone)
    assert sentence is not None and "Nothing was deleted" in sentence and "Close the app" in sentence
    assert saved_records.saved_in_words(phone) == []

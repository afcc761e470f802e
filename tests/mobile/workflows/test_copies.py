"""Copies as a person makes and takes them: tried out before they are called good, told in words, never of invented seasons."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from mobile.bootstrap import invented, started
from mobile.settings import Settings
from mobile.storage.copies import LastCopy
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.copies import copies_view, make_copy
from mobile.workflows.copies_in import look_at_copy, take_in_copy
from mobile.workflows.invented import entries_of_file
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import report_of
from mobile.workflows.sharing_line import sharing_line
from mobile.workflows.tally import Amount
from shared_models.entries import canonical_text
from shared_models.errors import BadInputError, StoreError
from shared_models.records.gardens import Tree
from shared_models.vocabulary import Fruit
from tests.mobile.harvest import last_harvest
from tests.mobile.pages import fields_of, oldest_first
from tests.mobile.phones import Phones, SetClock
from tests.shared_models.copy_file.archives import good_copy, made_up


@pytest.fixture
def harvest(phone: PhoneStore, row: tuple[str, ...]) -> tuple[str, ...]:
    """Last year's harvest on the phone; the trees of its row."""
    last_harvest(phone, row)
    return row


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A folder that a copy goes into."""
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


def the_only(folder: Path) -> str:
    """The one file that lies in a folder."""
    (file,) = folder.iterdir()
    return str(file)


def test_a_copy_is_tried_out_before_it_is_called_good(
    phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    made = make_copy(phone, f" {stick} ")
    held = phone.entries_held()
    assert made.good and made.file == the_only(stick)
    assert made.sentence == (
        f"The copy is good: {held} records, tried out. It is the file “pomeward 2026-09-12 1000.copy” in the folder "
        "“stick”. Keep it somewhere else than on this phone."
    )
    last = phone.copies.last()
    assert last is not None and last.tried and last.entries == held
    assert not list(phone.copies.folder.glob("trying-out-*"))


def test_what_would_be_lost_and_the_last_copy_are_told(
    phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    held = phone.entries_held()
    before = copies_view(phone)
    assert before.lost == f"If this phone were lost now, {held} records would be lost with it."
    assert before.last == "No copy was made on this phone yet." and before.taken == ()
    make_copy(phone, str(stick))
    after = copies_view(phone)
    assert after.lost == "Nothing would be lost with this phone as long as the last copy lies elsewhere."
    assert f"Saturday 12 September 2026 at 10:00, {held} records, tried out and good." in after.last
    phone.record(Tree.kind, {"label": "13"}, harvest[0])
    assert "1 record that is not in the last copy would be lost" in copies_view(phone).lost
    assert sharing_line(phone) == "last copy 10:00"


def test_of_a_damaged_phone_what_is_whole_is_copied_and_an_older_copy_mends_the_rest(
    phones: Phones, phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    """An entry of the log was changed behind the phone's back, so that its hash is not that of its text any more."""
    older = make_copy(phone, str(stick)).file
    report, held = report_of(phone, "2025"), phone.entries_held()
    phones.in_the_file(
        "phone.db", "UPDATE entry SET body = replace(body, 'storm', 'flood') WHERE body LIKE '%storm%'"
    )
    made = make_copy(phone, str(stick))
    assert not made.good and made.sentence.startswith(
        f"A copy of {held - 1} records was made. 1 record on this phone is damaged and not in it: take in an older copy"
    )
    told = take_in_copy(phone, older)
    assert told[1:] == [f"0 new records. {held} were here already."]
    assert make_copy(phone, str(stick)).good and report_of(phone, "2025") == report
    assert phone.copies.only_here().unshared == held


def test_a_copy_that_gives_something_else_back_is_thrown_away(
    phone: PhoneStore, harvest: tuple[str, ...], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another copy lies in its place by the time it is tried out."""
    other = good_copy([canonical_text(one) for one in oldest_first(phone)][:-1])
    real = phone.copies.write

    def exchanged(*given: Any) -> LastCopy:
        written = real(*given)
        Path(written.file).write_bytes(other)
        return written

    monkeypatch.setattr(phone.copies, "write", exchanged)
    with pytest.raises(StoreError, match=r"did not give back what is on this phone.*is kept"):
        make_copy(phone, str(stick))
    assert list(stick.iterdir()) == [] and phone.copies.last() is None


def test_a_season_that_comes_out_otherwise_is_noticed(
    phones: Phones, phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    """What is counted on the phone does not follow from its entries any more."""
    phones.in_the_file("phone.db", "UPDATE record SET deleted = 1 WHERE kind = 'number'")
    with pytest.raises(StoreError, match="did not give back"):
        make_copy(phone, str(stick))
    assert list(stick.iterdir()) == []


def test_what_a_server_holds_back_does_not_make_a_copy_bad(
    phones: Phones, phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    from mobile.storage.outbox import Waits
    from mobile.storage.outgoing import Answer, Attempt

    waiting = phone.outgoing.oldest(1000, 1 << 20)
    number = next(one for one in waiting if '"kind":"number"' in one.body)
    phone.outgoing.settle([Answer(number, aside=Waits.HELD_BACK, code="bad")], Attempt("1", "token"))
    assert make_copy(phone, str(stick)).good


def test_where_there_is_no_room_to_try_it_out_the_copy_stays_and_says_so(
    phone: PhoneStore, harvest: tuple[str, ...], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(*_: object) -> None:
        raise StoreError("There is no room left on this device.")

    monkeypatch.setattr("mobile.storage.copies.Copies.take", no_room)
    made = make_copy(phone, str(stick))
    assert not made.good and "but not tried out" in made.sentence and "no room left" in made.sentence
    assert made.file == the_only(stick) and "not tried out" in copies_view(phone).last


def test_what_a_killed_trial_left_is_cleared_away(
    phone: PhoneStore, harvest: tuple[str, ...], stick: Path
) -> None:
    left = phone.copies.folder / "trying-out-of-before"
    left.mkdir()
    (left / "phone.db").write_bytes(b"half")
    assert make_copy(phone, str(stick)).good and not left.exists()


def test_without_a_folder_it_is_asked_for(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="into which folder"):
        make_copy(phone, "  ")
    with pytest.raises(StoreError, match="No copy was made"):
        make_copy(phone, "/proc/nowhere")


def test_a_phone_without_a_garden_can_be_copied_too(phone: PhoneStore, stick: Path) -> None:
    assert make_copy(phone, str(stick)).good


def test_two_phones_come_to_the_same_season_by_files_alone(
    phone: PhoneStore, neighbour: PhoneStore, harvest: tuple[str, ...], stick: Path, clock: SetClock
) -> None:
    first = make_copy(phone, str(stick)).file
    seen = look_at_copy(neighbour, first)
    assert seen.sentences[0] == (
        "A copy of “Keeper of phone.db”, made on Saturday 12 September 2026 at 10:00."
    )
    assert seen.new == phone.entries_held() and neighbour.entries_held() == 1
    told = take_in_copy(neighbour, first)
    assert told[1] == f"{seen.new} new records. 0 were here already."
    assert copies_view(neighbour).taken == tuple(told)
    clock.move(days=1)
    for store, tree, damaged in ((phone, harvest[10], 4), (neighbour, harvest[11], 9)):
        visit = PickingVisit(store, tree)
        visit.number(Fruit.STING, Amount.exactly(damaged))
        visit.done()
    take_in_copy(neighbour, make_copy(phone, str(stick)).file)
    take_in_copy(phone, make_copy(neighbour, str(stick)).file)
    for season in ("2025", "2026"):
        assert report_of(phone, season) == report_of(neighbour, season)
    assert {one.id for one in oldest_first(phone)} == {one.id for one in oldest_first(neighbour)}


def test_what_was_not_taken_is_named_line_by_line(
    phone: PhoneStore, neighbour: PhoneStore, stick: Path
) -> None:
    garden = neighbour.record("garden", {"name": "Hill", "hemisphere": "north"})
    entry = fields_of(neighbour.entries_of(garden)[0])
    lines = [json.dumps(entry), json.dumps(entry | {"kind": "hedge", "id": entry["by"], "rec": entry["by"]})]
    lines += ["?"] * 21
    file = stick / "came.copy"
    file.write_bytes(made_up("".join(f"{line}\n" for line in lines).encode()))
    told = take_in_copy(phone, str(file))
    assert told[1:5] == [
        "2 new records. 0 were here already.",
        "1 of the new ones cannot be shown by this app. It is kept as it came; update the app.",
        "21 were not taken:",
        "Line 3: It holds no record.",
    ]
    assert told[-1] == "and 1 more."


@pytest.mark.parametrize("named", ["", "  ", "nowhere.copy"])
def test_a_file_that_is_not_there_is_told(phone: PhoneStore, named: str) -> None:
    with pytest.raises(BadInputError) as told:
        look_at_copy(phone, named)
    assert told.value.field == "file"


# ---------------------------------------------------------------- the invented seasons
@pytest.fixture
def around(tmp_path: Path) -> Iterator[PhoneStore]:
    """The invented seasons, opened."""
    settings = Settings(tmp_path / "data", "phone")
    settings.make_folder()
    with invented(settings) as opened:
        yield opened.store


def test_while_looking_around_no_copy_is_made_and_none_taken_in(
    around: PhoneStore, phone: PhoneStore, stick: Path
) -> None:
    mine = make_copy(phone, str(stick)).file
    for refused in (
        lambda: make_copy(around, str(stick)),
        lambda: copies_view(around),
        lambda: look_at_copy(around, mine),
        lambda: take_in_copy(around, mine),
    ):
        with pytest.raises(BadInputError, match=r"Leave .* first"):
            refused()


def test_a_copy_of_the_invented_seasons_is_refused_whole_or_in_part(phone: PhoneStore, stick: Path) -> None:
    bodies = [json.dumps(fields, ensure_ascii=False) for fields in entries_of_file()]
    own = [canonical_text(one) for one in oldest_first(phone)]
    for part in (bodies, bodies[-1:], [*own, bodies[3]]):
        file = stick / "came.copy"
        file.write_bytes(good_copy(part))
        with pytest.raises(BadInputError, match="copy of the invented seasons"):
            take_in_copy(phone, str(file))
    assert phone.entries_held() == 1


def test_a_copy_survives_a_restart_in_the_phone_s_memory(tmp_path: Path, stick: Path) -> None:
    settings = Settings(tmp_path / "data", "phone")
    with started(settings) as phone:
        phone.store.begin("Ida", "Europe/Rome")
        make_copy(phone.store, str(stick))
    with started(settings) as again:
        last = again.store.copies.last()
        assert isinstance(last, LastCopy) and last.tried and last.entries == 1

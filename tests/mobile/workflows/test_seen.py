"""Growth stages, notes, the next day of temperatures, and which garden is meant where nobody says it."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.day_temperatures import day_offered, note_day
from mobile.workflows.drops_at_hand import DropsAtHand, amount_typed
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.drops_walk import drops_walk
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import Told
from mobile.workflows.seen import see_stage, stages_to_choose, write_note
from mobile.workflows.tally import Amount
from mobile.workflows.usual_garden import usual_garden
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.gardens import Note
from shared_models.records.timing import Stage
from shared_models.seasons import Hemisphere


def test_the_garden_with_most_trees_is_meant_until_another_was_recorded_in(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    other = name_garden(phone, "A first name", Hemisphere.NORTH).garden
    assert usual_garden(phone) == garden
    see_stage(phone, "65", garden=other)
    assert stages_to_choose(phone).garden == other and day_offered(phone).garden == garden


def test_no_garden_is_meant_where_there_is_none(phone: PhoneStore) -> None:
    assert usual_garden(phone) is None and day_offered(phone).garden is None
    assert stages_to_choose(phone).garden is None and drops_walk(phone).lines == ()


def test_stages_say_when_they_were_seen_and_whether_they_were_checked(phone: PhoneStore, garden: str) -> None:
    noted = see_stage(phone, "65", garden=garden, told=Told("2026-05-01"))
    shown = stages_to_choose(phone, garden)
    marks = {line.code: line.marks for line in shown.lines}
    assert shown.newest == "65" and "full bloom" in noted.sentence
    assert marks["65"] == "BBCH 65 · seen Friday 1 May" and marks["75"] == "BBCH 75 · unchecked"


def test_a_stage_that_is_not_on_the_scale_is_refused(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError, match="BBCH 66"):
        see_stage(phone, "66", garden=garden)
    assert phone.all(Stage) == []


def test_an_empty_note_is_refused_and_a_note_names_what_it_is_about(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="empty note"):
        write_note(phone, "  ")
    noted = write_note(phone, " Canker ", about=tree)
    note = phone.get(Note, noted.record)
    assert note is not None and (note.text, note.about) == ("Canker", tree)


def test_the_day_after_the_last_is_offered_with_its_unit_and_habit(phone: PhoneStore, garden: str) -> None:
    assert day_offered(phone).day == date(2026, 9, 12)
    note_day(phone, garden, date(2026, 9, 9), 48, 70, "F", habit="morning")
    offered = day_offered(phone)
    assert (offered.day, offered.unit, offered.habit) == (date(2026, 9, 10), "F", "morning")
    assert offered.there == (together("Wednesday 9 September: 48 to 70 °F."),)
    note_day(phone, garden, date(2026, 9, 12), 50, 71, "F")
    assert day_offered(phone).day == date(2026, 9, 12)


def test_the_drops_walk_says_what_was_found_on_the_day_that_is_told(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    visit = DropsVisit(phone, row[1], Told("2026-09-10"))
    visit.damaged(Amount.exactly(3))
    visit.undamaged()
    DropsVisit(phone, row[2]).none()
    DropsVisit(phone, row[3]).removed()
    today = {line.label: line.found for line in drops_walk(phone, garden).lines}
    assert (today["2"], today["3"], today["4"]) == ("", "no drops", "1 taken off the tree")
    then = {line.label: line.found for line in drops_walk(phone, garden, Told("2026-09-10")).lines}
    assert then["2"] == "3 damaged drops, 1 undamaged drop" and then["3"] == ""


def test_each_touch_under_a_tree_is_taken_back_by_itself(phone: PhoneStore, tree: str) -> None:
    hand = DropsAtHand(phone, tree)
    hand.touch(DropsVisit.damaged)
    number = hand.touch(lambda visit: visit.undamaged(Amount.about(40)))
    assert number.sentence == "Tree 7: 1 damaged drop, 40 undamaged drops."
    number.take_back(phone)
    assert hand.view().undamaged == 0 and hand.view().damaged == 1
    hand.less()
    none = hand.touch(DropsVisit.none)
    assert hand.view().nothing_found
    none.take_back(phone)
    assert not hand.view().recorded


def test_amounts_are_typed_as_one_number_roughly_or_from_to() -> None:
    assert amount_typed(None, None, False) is None
    assert amount_typed(12, None, False) == Amount.exactly(12)
    assert amount_typed(40, None, True) == Amount.about(40)
    assert amount_typed(40, 60, False) == Amount.from_to(40, 60)

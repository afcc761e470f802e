"""One record by itself: every version in words, typed corrections, and taking a correction back."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import correct, move_to_tree, undo
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.field_words import ValueWords
from mobile.workflows.history import KIND_WORDS, KINDS, Wanted, wanted_in_words
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from mobile.workflows.record_page import correct_typed, record_page, take_back_correction
from mobile.workflows.seen import write_note
from mobile.workflows.tally import Amount
from mobile.workflows.trap_round import TrapRound
from shared_models.errors import BadInputError
from shared_models.field_words import FIELD_WORDS
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit


@pytest.fixture
def job(phone: PhoneStore, row: tuple[str, ...]) -> str:
    """A job on three trees."""
    return record_job(phone, "trunk_band", trees=row[:3], minutes=40, told=Told("2026-09-01")).job


def test_every_version_is_read_in_words_with_its_reason(
    phone: PhoneStore, job: str, row: tuple[str, ...]
) -> None:
    correct(phone, job, "Counted again", trees=[row[3]], partly=True)
    undo(phone, job)
    first, second, third = record_page(phone, job).versions
    assert "trees: 1–3" in first.changes and "method: trunk band" in first.changes
    assert set(second.changes) == {"trees: 4, before that 1–3", "partly done: yes"}
    assert second.reason == "Counted again" and third.heading.endswith("undone")


def test_only_what_was_typed_otherwise_is_corrected(phone: PhoneStore, job: str) -> None:
    typed: dict[str, str | bool] = {
        "minutes": "55",
        "people": "",
        "note": "",
        "partly": False,
        "rain_after": False,
        "cost": "",
    }
    correct_typed(phone, job, typed, "Typed wrongly")
    assert phone.entries_of(job)[-1].f == {"minutes": 55, "reason": "Typed wrongly"}
    with pytest.raises(BadInputError, match="Nothing was changed"):
        correct_typed(phone, job, typed, "Again")
    with pytest.raises(BadInputError, match="no number"):
        correct_typed(phone, job, {"minutes": "an hour"}, "Again")
    with pytest.raises(BadInputError, match="no whole number"):
        correct_typed(phone, job, {"people": "2.5"}, "Again")


def test_an_emptied_field_is_not_said_any_more(phone: PhoneStore, job: str) -> None:
    correct_typed(phone, job, {"minutes": ""}, "Nobody looked at a watch")
    found = phone.get(Job, job)
    assert found is not None and found.minutes is None


def test_a_correction_is_taken_back_by_a_further_version(phone: PhoneStore, job: str) -> None:
    correct(phone, job, "Typed wrongly", minutes=55, partly=True)
    take_back_correction(phone, job)
    found = phone.get(Job, job)
    assert found is not None and (found.minutes, found.partly) == (40, False)
    assert len(record_page(phone, job).versions) == 3


def test_a_moved_visit_is_moved_back_the_same_way(phone: PhoneStore, row: tuple[str, ...]) -> None:
    at_tree = DropsVisit(phone, row[0])
    at_tree.damaged(Amount.exactly(5))
    assert at_tree.visit is not None
    move_to_tree(phone, at_tree.visit, row[1], "It was another tree.")
    take_back_correction(phone, at_tree.visit)
    visit = phone.get(Visit, at_tree.visit)
    assert visit is not None and visit.tree == row[0]


def test_tallies_are_offered_by_their_marks(phone: PhoneStore, tree: str) -> None:
    at_tree = DropsVisit(phone, tree)
    at_tree.damaged(Amount.exactly(5))
    at_tree.undamaged()
    assert at_tree.visit is not None
    page = record_page(phone, at_tree.visit)
    assert {one.in_words for one in page.tallies} == {"damaged: 5", "clean: 1"} and page.tree == tree


def test_a_record_that_is_no_happening_has_no_page(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError, match="not on this phone"):
        record_page(phone, garden)


def test_an_undone_record_is_read_but_not_corrected(phone: PhoneStore, trap: str) -> None:
    hand = TrapRound(phone).open(trap)
    visit = hand.number(4).visit
    assert visit is not None
    undo(phone, visit)
    page = record_page(phone, visit)
    assert page.line.undone and not page.can_be_corrected and len(page.traps) == 1


def test_values_of_any_field_are_words(phone: PhoneStore, tree: str, trap: str, garden: str) -> None:
    words, bert = ValueWords(phone), add_person(phone, "Bert")
    assert [
        words.of(field, value) for field, value in (("tree", tree), ("trap", trap), ("garden", garden))
    ] == [
        "7",
        "1",
        "Lower garden",
    ]
    assert ValueWords(phone).of("done_by", bert) == "Bert"
    assert (
        words.of("moths", 4) == "4" and words.of("minutes", None) == "–" and words.of("partly", True) == "yes"
    )
    assert words.of("when", "2026-09-01") == "Tuesday 1 September"
    assert words.of("products", [{"name": "X", "rate": "3 kg"}]) == "X, rate 3 kg"
    assert words.of("pick", bert) == "another record"


def test_every_kind_of_the_history_has_its_word(phone: PhoneStore) -> None:
    assert set(KIND_WORDS) == {kind.kind for kind in KINDS}
    fields = {name for kind in KINDS for name in kind.model_fields}
    own = {"rec", "by", "entered", "device", "tz", "stamp", "reason"}
    assert {name for name in fields - own if name not in FIELD_WORDS} <= {
        "place",
        "cover",
        "lure_load_mg",
        "other_insects",
        "total_certainty",
        "origin",
        "block",
        "a",
        "b",
        "with_method",
        "job",
        "last_word",
    }


def test_what_is_shown_is_said(phone: PhoneStore, tree: str, trap: str) -> None:
    write_note(phone, "Wasps")
    assert wanted_in_words(phone, Wanted()) == "Everything"
    assert wanted_in_words(phone, Wanted(tree=tree, kind="job")) == "Work and sprays · tree 7"
    assert wanted_in_words(phone, Wanted(trap=trap)) == "trap 1"

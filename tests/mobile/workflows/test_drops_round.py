"""Drops: damaged and undamaged, none is a count, a bucket for a garden."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.drops_round import DropsVisit, drops_of_garden
from mobile.workflows.moments import Told
from mobile.workflows.season import report_of
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.tally import BARE, Amount
from shared_models.errors import BadInputError
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from tests.mobile.phones import SetClock


def test_drops_are_counted_by_touch_and_by_number(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    for _ in range(3):
        visit.damaged()
    visit.undamaged()
    visit.undamaged(Amount.about(12))
    visit.damaged(Amount.from_to(4, 6))
    view = visit.take_back()  # the newest mark, an undamaged one
    assert (view.damaged, view.undamaged, view.removed) == (8, 12, 0)
    scored = report_of(phone, "2026").scored
    assert (scored.damaged, scored.clean) == (8, 12)


def test_looking_at_a_tree_is_not_a_drops_visit_and_none_is(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    assert not visit.view.recorded and phone.all(Visit) == []
    view = visit.none()
    assert view.recorded and view.nothing_found and phone.all(Visit)[0].nothing_found


def test_a_drop_found_after_none_takes_the_none_away(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    visit.none()
    view = visit.damaged()
    assert (view.damaged, view.nothing_found) == (1, False)


def test_none_after_drops_were_counted_changes_nothing_and_says_so(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    visit.damaged()
    view = visit.none()
    assert view.damaged == 1 and not view.nothing_found and "take them back first" in str(view.at.note)


def test_damaged_fruit_taken_off_is_numbered_apart_from_drops(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    visit.damaged()
    view = visit.removed(Amount.exactly(9))
    assert (view.damaged, view.removed) == (1, 9)


def test_a_round_of_a_whole_garden_counts_for_no_single_tree(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    done = drops_of_garden(
        phone, garden, damaged=Amount.about(60), undamaged=Amount.from_to(100, 150), minutes=90, people=2
    )
    job = phone.get(Job, done.job)
    assert job is not None and (job.garden, job.trees, job.minutes) == (garden, [], 90)
    assert job.note == "about 60 damaged drops, from 100 to 150 undamaged drops"
    assert report_of(phone, "2026").scored.damaged == 0


def test_fruit_taken_off_without_a_number_is_said(phone: PhoneStore, garden: str) -> None:
    done = drops_of_garden(phone, garden, took_fruit_off=True)
    assert "Say how many damaged fruit were taken off" in done.notes[0]


def test_a_number_that_is_none_is_refused_before_the_job_is_kept(phone: PhoneStore, garden: str) -> None:
    with pytest.raises(BadInputError):
        drops_of_garden(phone, garden, damaged=Amount())
    assert phone.all(Job) == []


def test_drops_for_juice_are_inside_the_pre_harvest_interval(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    mix = [FromLabel("Product one", pre_harvest_days=7)]
    record_spray(phone, SprayTold("other_insecticide", mix, trees=[tree]))
    clock.move(days=2)
    (warning, known) = DropsVisit(phone, tree).view.warnings
    assert "first day to pick is Saturday 19 September" in warning and "Drops for juice" in warning
    assert known.startswith("As known on this phone at 10:00 Monday")


def test_drops_of_a_tree_with_bags_ask_for_the_part(phone: PhoneStore, tree: str) -> None:
    BaggingRound(phone, Told(when="2026-06-05")).open(tree).ten()
    visit = DropsVisit(phone, tree)
    assert "This tree has bags" in visit.view.warnings[0]
    assert visit.from_part(BARE).warnings == ()

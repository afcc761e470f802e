"""Other work: partly done, with helpers, finished later, on trees or gardens."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.job import finish_job, method_choices, rain_after, record_job
from mobile.workflows.season import report_of
from mobile.workflows.tally import Amount
from mobile.workflows.tree_plans import own_method
from shared_models.errors import BadInputError
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.vocabulary import Reach
from tests.mobile.phones import SetClock


def test_work_is_kept_with_time_helpers_and_cost(phone: PhoneStore, row: tuple[str, ...]) -> None:
    done = record_job(
        phone, "trunk_band", trees=[*row[:3], row[0]], minutes=40, people=3, cost=7.5, partly=True
    )
    job = phone.get(Job, done.job)
    assert job is not None and job.trees == list(row[:3])
    assert (job.minutes, job.people, job.cost, job.partly) == (40, 3, 7.5, True)


def test_a_job_begun_now_is_finished_later_and_rain_noted(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    done = record_job(phone, "netting", trees=[tree])
    clock.move(minutes=75)
    assert finish_job(phone, done.job).doubts == ()
    rain_after(phone, done.job)
    job = phone.get(Job, done.job)
    assert job is not None and (job.ended, job.rain_after) == ("2026-09-12T11:15:00+02:00", True)


def test_an_end_before_the_beginning_is_kept_and_doubted(phone: PhoneStore, tree: str) -> None:
    done = record_job(phone, "netting", trees=[tree], ended="2026-09-12T09:00:00+02:00")
    assert [doubt.field for doubt in done.doubts] == ["ended"]


def test_damaged_fruit_thinned_off_one_tree_is_numbered_with_the_job(phone: PhoneStore, tree: str) -> None:
    done = record_job(phone, "thinning", trees=[tree], removed=Amount.exactly(14))
    (visit,) = phone.all(Visit)
    assert (visit.job, visit.tree, done.notes) == (done.job, tree, ())
    assert report_of(phone, "2026").scored.damaged == 14


def test_damaged_fruit_of_several_trees_is_numbered_tree_by_tree(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    with pytest.raises(BadInputError, match="tree by tree"):
        record_job(phone, "thinning", trees=row[:2], removed=Amount.exactly(14))
    assert phone.all(Job) == []
    done = record_job(phone, "thinning", trees=row[:2], removed_damaged=True)
    assert "Say how many damaged fruit" in done.notes[0]


def test_a_method_that_protects_gardens_says_so_when_trees_are_named(
    phone: PhoneStore, garden: str, tree: str
) -> None:
    assert (
        "counts for all trees of Lower garden"
        in record_job(phone, "mating_disruption", trees=[tree]).notes[0]
    )
    assert record_job(phone, "mating_disruption", garden=garden).notes == ()


def test_a_method_of_the_group_s_own_can_be_chosen_and_used(phone: PhoneStore, tree: str) -> None:
    key = own_method(phone, "Hens under the trees", Reach.TREE)
    assert key in [method.key for method in method_choices(phone)]
    record_job(phone, key, trees=[tree])
    assert report_of(phone, "2026").trees[6].status == "not_scored"


def test_a_job_that_is_not_here_is_said(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="not on this phone"):
        finish_job(phone, tree)

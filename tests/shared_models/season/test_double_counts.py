"""Traps counted twice: which pairs are told, and that each way of deciding ends it."""

from __future__ import annotations

from shared_models.entries import Entry
from shared_models.fold import fold_all
from shared_models.records.kinds import record_of
from shared_models.records.traps import TrapVisit
from shared_models.season.double_counts import DoubleCount, double_counts
from tests.shared_models.season.test_catches import OneTrap


def told(trap: OneTrap) -> list[DoubleCount]:
    """What is to be decided of these entries."""
    visits = [one for one in fold_all(trap.entries).values() if one.kind == TrapVisit.kind]
    live = [record_of(one) for one in visits if not one.deleted]
    undone = [record_of(one) for one in visits if one.deleted]
    return double_counts(live, undone)  # type: ignore[arg-type]


def counted_twice() -> tuple[OneTrap, Entry, Entry]:
    """A trap, a visit, and two counts that both go back to it."""
    trap = OneTrap()
    before = trap.visit("2026-05-08", 3)
    return trap, trap.visit("2026-05-12", 4, before), trap.visit("2026-05-13", 6, before)


def edit(trap: OneTrap, visit: Entry, **fields: object) -> None:
    trap.entries.append(trap.phone.edits(visit, **fields))


def caught(trap: OneTrap) -> list[int]:
    return [visit.catch for visit in trap.line().visits]


def test_two_counts_that_go_back_to_one_visit_are_told():
    trap, first, second = counted_twice()
    (one,) = told(trap)
    assert (one.trap, one.first.rec, one.second.rec) == (trap.trap.rec, first.rec, second.rec)
    assert not one.none_counts and not one.adds_difference
    assert caught(trap) == [3, 4, 0], "the earlier counts until somebody decides"


def test_both_count_where_the_second_names_the_first():
    trap, first, second = counted_twice()
    edit(trap, second, previous=first.rec, reason="Both count.")
    assert told(trap) == [] and caught(trap) == [3, 4, 6]


def test_only_one_counts_where_the_other_is_taken_back():
    trap, first, second = counted_twice()
    edit(trap, second, _del=True, instead=first.rec)
    assert told(trap) == [] and caught(trap) == [3, 4]
    trap, first, second = counted_twice()
    edit(trap, first, _del=True, instead=second.rec)
    assert told(trap) == [] and caught(trap) == [3, 6]


def test_where_two_people_took_back_one_each_it_is_told_again():
    trap, first, second = counted_twice()
    edit(trap, second, _del=True, instead=first.rec)
    edit(trap, first, _del=True, instead=second.rec)
    (one,) = told(trap)
    assert one.none_counts and (one.first.rec, one.second.rec) == (first.rec, second.rec)
    edit(trap, second, _del=False)
    assert told(trap) == [] and caught(trap) == [3, 6]


def test_a_visit_taken_back_for_another_reason_is_not_told():
    trap, first, second = counted_twice()
    edit(trap, first, _del=True)
    edit(trap, second, _del=True, instead=first.rec)
    assert told(trap) == []


def test_of_three_each_is_told_against_the_one_that_counts():
    trap, first, second = counted_twice()
    before = trap.entries[-3]
    third = trap.visit("2026-05-14", 7, before)
    assert [(one.first.rec, one.second.rec) for one in told(trap)] == [
        (first.rec, second.rec),
        (first.rec, third.rec),
    ]


def test_what_hangs_on_the_liner_adds_only_the_difference():
    trap = OneTrap()
    before = trap.visit("2026-05-08", 3, mode="on_liner")
    trap.visit("2026-05-12", 5, before, mode="on_liner")
    trap.visit("2026-05-13", 6, before, mode="on_liner")
    (one,) = told(trap)
    assert one.adds_difference and caught(trap) == [3, 2, 1]

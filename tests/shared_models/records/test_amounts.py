"""What a record comes to: bags by the box, numbers from–to, totals by weight, who did it."""

import pytest

from shared_models.fold import fold
from shared_models.records.kinds import record_of
from tests.builders import FieldPhone

PHONE = FieldPhone()
TREE = PHONE.tree(PHONE.garden())
VISIT = PHONE.visit(TREE)


def read(entry):
    """The record of an entry."""
    record = record_of(fold([entry]))
    assert record is not None
    return record


@pytest.mark.parametrize(
    ("box", "bags"),
    [({}, None), ({"took": 50}, 50), ({"took": 50, "left": 13}, 37), ({"took": 5, "left": 9}, 0)],
)
def test_bags_by_the_box_are_those_taken_less_those_left(box, bags):
    assert read(PHONE.visit(TREE, "bagging", **box)).bags_by_the_box == bags


@pytest.mark.parametrize(
    ("said", "amount", "estimated"),
    [
        ({"n": 12}, 12.0, False),
        ({"n": 12, "certainty": "estimated"}, 12.0, True),
        ({"low": 10, "high": 20}, 15.0, True),
        ({"n": 0}, 0.0, False),
    ],
)
def test_from_to_counts_as_its_middle_and_is_no_exact_number(said, amount, estimated):
    number = read(PHONE.makes("number", {"visit": VISIT.rec, **said}))
    assert (number.amount, number.estimated) == (amount, estimated)


@pytest.mark.parametrize(
    ("said", "total"),
    [
        ({}, None),
        ({"total": 300}, 300.0),
        ({"total": 300, "weight_kg": 1, "fruit_per_kg": 8}, 300.0),
        ({"weight_kg": 12.5, "fruit_per_kg": 8}, 100.0),
        ({"weight_kg": 12.5}, None),
    ],
)
def test_a_total_is_the_count_or_kilograms_times_fruit(said, total):
    assert read(PHONE.pick(TREE, **said)).typed_total == total


def test_only_a_number_in_a_trap_that_was_counted_is_a_count():
    trap = PHONE.trap(PHONE.garden())
    assert read(PHONE.trap_visit(trap, 0)).counted
    assert not read(PHONE.trap_visit(trap, None)).counted
    lost = PHONE.makes("trap_visit", {"trap": trap.rec, "when": "2026-06-04", "state": "lost", "moths": 3})
    assert not read(lost).counted


def test_whoever_recorded_it_did_it_unless_somebody_else_is_named():
    other = PHONE.person("Bo")
    assert read(PHONE.visit(TREE)).person == PHONE.person_id
    assert read(PHONE.visit(TREE, done_by=other.rec)).person == other.rec


def test_a_groups_own_method_speaks_the_words_of_the_vocabulary():
    own = read(PHONE.makes("method", {"key": "garlic", "name": "garlic", "reach": "tree", "least_times": 3}))
    method = own.as_method()
    assert (method.key, method.reach, method.in_mix, method.least_times) == ("garlic", "tree", True, 3)

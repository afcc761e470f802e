"""The one merge rule: order, repetition and grouping of entries make no difference, and the newest value wins."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.fold import fold, fold_all, replaced_by
from tests.builders import FieldPhone
from tests.strategies import histories, law


@law
@given(histories(), st.randoms(use_true_random=False))
def test_order_and_repetition_make_no_difference(history: list, shuffled: random.Random):
    again = history + [shuffled.choice(history) for _ in range(5)]
    shuffled.shuffle(again)
    assert fold_all(again) == fold_all(history)


@law
@given(histories(), st.data())
def test_grouping_makes_no_difference(history, data):
    """Merging is the union of sets by id, so who met whom first does not matter."""
    first, second, third = ([e for e in history if data.draw(st.booleans())] for _ in range(3))
    third = union(third, history)
    left = union(union(first, second), third)
    right = union(first, union(second, third))
    assert fold_all(left) == fold_all(right) == fold_all([*third, *second, *first, *first])


@law
@given(histories())
def test_each_field_has_the_value_of_the_greatest_stamp_and_id(history):
    for rec, folded in fold_all(history).items():
        of_record = [entry for entry in history if entry.rec == rec]
        for name in {name for entry in of_record for name in entry.f}:
            newest = max((e for e in of_record if name in e.f), key=lambda e: (e.stamp, e.id))
            assert (folded.fields[name], folded.winners[name]) == (newest.f[name], newest.id)
        assert set(folded.fields) == {name for entry in of_record for name in entry.f}


@law
@given(histories())
def test_provenance_is_that_of_the_first_entry(history):
    for rec, folded in fold_all(history).items():
        first = min((e for e in history if e.rec == rec), key=lambda e: (e.stamp, e.id))
        assert (folded.by, folded.device, folded.entered, folded.tz) == (
            first.by,
            first.device,
            first.entered,
            first.tz,
        )


def union(*histories_of_phones):
    """All entries by id."""
    return list({entry.id: entry for history in histories_of_phones for entry in history}.values())


def test_an_undo_undone_is_a_record_again():
    phone = FieldPhone()
    garden = phone.garden()
    undo, redo = phone.undoes(garden), phone.redoes(garden)
    assert fold([garden, undo]).deleted
    assert not fold([garden, undo, redo]).deleted
    assert fold([redo, undo, garden]).fields["name"] == "Hill"


def test_an_undo_that_arrives_before_its_record_holds():
    phone = FieldPhone()
    garden = phone.garden()
    undo = phone.undoes(garden)
    assert fold([undo]).deleted
    assert fold([undo, garden]).deleted


def test_a_delete_stays_against_an_edit_made_at_the_same_time():
    phone, other = FieldPhone(), FieldPhone()
    garden = phone.garden()
    other.receives(garden)
    folded = fold([garden, phone.undoes(garden), other.edits(garden, name="Dale")])
    assert folded.deleted and folded.fields["name"] == "Dale"


def test_equal_stamps_are_settled_by_the_entry_id():
    phone = FieldPhone()
    garden = phone.garden()
    low, high = sorted([phone.edits(garden, name="a"), phone.edits(garden, name="b")], key=lambda e: e.id)
    tied = high.model_copy(update={"stamp": low.stamp})
    assert fold([tied, garden, low]).winners["name"] == high.id


def test_an_entry_of_another_kind_is_no_part_of_the_record():
    phone = FieldPhone()
    garden = phone.garden()
    stray = phone.edits(garden, name="a tree now").model_copy(update={"kind": "tree"})
    assert fold([garden, stray]) == fold([garden])


def test_nothing_and_several_records_cannot_be_folded_into_one():
    phone = FieldPhone()
    for entries in ([], [phone.garden(), phone.garden()]):
        with pytest.raises(ValueError, match="entries of that one record"):
            fold(entries)


def test_an_edit_names_what_it_replaced():
    phone = FieldPhone()
    garden = phone.garden()
    edit = phone.edits(garden, fold([garden]), name="Dale", note="steep")
    assert edit.prev == {"name": garden.id}
    assert replaced_by(None, {"name": 1}) is None
    assert replaced_by(fold([garden]), {"note": 1}) is None

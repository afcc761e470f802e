"""What is to be decided, in words: every field of every kind that changes is called something, and text stays as typed."""

from __future__ import annotations

import pytest

from shared_models.blind_edits import BlindEdit, Said
from shared_models.entries import DELETED
from shared_models.field_words import FIELD_WORDS
from shared_models.look_text import looks_as_text
from shared_models.look_words import LookWords, ToldLooks
from shared_models.records.kinds import KINDS, THAT_CHANGE

TREE, GARDEN, ADA, UNKNOWN = (f"0000000{number}-0000-7000-8000-000000000000" for number in range(4))
OF_RECORD = {"rec", "by", "entered", "last_word", "reason"}


@pytest.fixture
def words() -> LookWords:
    return LookWords({TREE: "7", GARDEN: "Hill", ADA: "Ada"}, lambda rec: {"label": "7", "name": "Hill"})


def said(value: object, by: str = ADA) -> Said:
    return Said(TREE, value, by, by, "2026-06-04T09:10:00+02:00")


@pytest.mark.parametrize("kind", sorted(THAT_CHANGE))
def test_every_field_of_what_changes_has_a_name(kind: str):
    fields = set(KINDS[kind].model_fields) - OF_RECORD | {DELETED}
    assert [name for name in sorted(fields) if name not in FIELD_WORDS] == []


@pytest.mark.parametrize("kind", sorted(THAT_CHANGE))
def test_every_kind_is_called_something_also_while_its_making_has_not_come(kind: str, words: LookWords):
    edit = BlindEdit(TREE, kind, "retired", said(True), (said(False),))
    told = words.edit((edit,))
    assert "_" not in told.what and "no longer offered" in told.what
    assert [value.words for value in told.values] == ["yes", "no"]
    assert words.thing(kind, {})


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("label", "new", "new"),
        ("label", "tree", "tree"),
        ("note", "counted", "counted"),
        ("species", "PYUCO", "pear"),
        ("size", "semi_dwarf", "semi-dwarf"),
        ("reach", "tree", "whole trees"),
        ("hemisphere", "south", "south"),
        ("garden", GARDEN, "Hill"),
        ("tree", UNKNOWN, "not known here"),
        ("removed_on", "2026-06-04", "2026-06-04"),
        ("methods", ["bagging", "our_own"], "bagging, our_own"),
        ("with_method", "netting", "netting"),
        ("height_m", 1.5, "1.5"),
        ("year_planted", None, "nothing said"),
        ("methods", [], "nothing said"),
        (DELETED, True, "taken back"),
        (DELETED, False, "not taken back"),
    ],
)
def test_values_in_words(words: LookWords, field: str, value: object, told: str):
    assert words.value(field, value) == told


def test_who_is_not_known_yet_is_somebody(words: LookWords):
    (value, other) = words.edit((BlindEdit(TREE, "tree", "label", said("7a", UNKNOWN), (said("7"),)),)).values
    assert (value.who, other.who, other.when) == ("somebody", "Ada", "2026-06-04T09:10:00+02:00")


def test_a_walking_order_is_told_as_one_and_a_single_place_as_a_place(words: LookWords):
    edit = BlindEdit(TREE, "tree", "order", said(3), (said(5),))
    alone, row = words.edit((edit,)), words.edit((edit, edit))
    assert alone.what == "Walking order of 1 tree" and [v.words for v in alone.values] == [
        "place 3",
        "place 5",
    ]
    assert row.what == "Walking order of 2 trees" and len({v.words for v in row.values}) == 2


def test_nothing_to_decide_is_a_sentence():
    assert looks_as_text(ToldLooks()) == "Nothing is to be decided.\n"

"""The check of an entry's fields against its kind: what passes, and what is said about what does not."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.entries import canonical_text, read_entry
from shared_models.fold import fold
from shared_models.records.fields import Record
from shared_models.records.kinds import CLASSES, KINDS, check_fields, is_known, record_of
from tests.builders import FieldPhone
from tests.strategies import EXAMPLES, FIELDS, entries, fields_of, law

kinds = pytest.mark.parametrize("kind", sorted(KINDS))
few = settings(law, max_examples=max(20, EXAMPLES // 10))
PHONE = FieldPhone()
GARDEN = PHONE.garden()
TREE = PHONE.tree(GARDEN)
RIGHT: dict[str, dict[str, Any]] = {
    "trap_visit": {"trap": PHONE.trap(GARDEN).rec, "when": "2026-06-04", "state": "counted", "moths": 3},
    "garden": {"name": "Hill", "hemisphere": "north"},
    "tree": {"label": "1", "garden": GARDEN.rec},
    "visit": {"tree": TREE.rec, "round": "picking", "when": "2026-08-20"},
    "mark": {"visit": PHONE.visit(TREE).rec, "marks": ["clean"]},
    "job": {"method": "kaolin_film", "trees": [TREE.rec], "when": "2026-06-04"},
    "day_temperature": {"garden": GARDEN.rec, "when": "2026-06-04", "lowest": 9, "highest": 21, "unit": "C"},
    "number": {"visit": PHONE.visit(TREE).rec, "n": 10},
    "pick": {"tree": TREE.rec, "when": "2026-08-20"},
    "method": {"key": "garlic", "name": "garlic", "reach": "tree"},
    "plan_line": {"tree": TREE.rec, "season": "2026", "when": "2026-04-01"},
}


def test_every_kind_and_every_field_of_it_has_a_strategy():
    of_records = set(Record.model_fields)
    asked = {kind: {*fields.must, *fields.may} for kind, fields in FIELDS.items()}
    assert asked == {record.kind: set(record.model_fields) - of_records for record in CLASSES}


@kinds
def test_exactly_the_required_fields_must_be_there(kind):
    required = {name for name, info in KINDS[kind].model_fields.items() if info.is_required()}
    assert set(FIELDS[kind].must) == required
    assert {complaint.field for complaint in check_fields(kind, {}, creates=True)} == required
    assert check_fields(kind, {}, creates=False) == []


@kinds
@few
@given(st.data())
def test_valid_fields_pass_and_come_back_as_a_record(kind, data):
    entry = data.draw(entries(kind))
    assert check_fields(kind, entry.f, creates=True) == []
    assert check_fields(kind, entry.f, creates=False) == []
    record = record_of(fold([read_entry(canonical_text(entry))]))
    assert record is not None
    assert record.model_dump(mode="json", include=set(entry.f), exclude_unset=True) == entry.f
    assert (record.rec, record.by, record.entered) == (entry.rec, entry.by, entry.entered)


@kinds
@few
@given(st.data())
def test_doubts_about_valid_fields_are_sentences_about_a_field(kind, data):
    record = record_of(fold([data.draw(entries(kind))]))
    assert record is not None
    for doubt in record.doubts():
        assert doubt.field in FIELDS[kind].must or doubt.field in FIELDS[kind].may
        assert doubt.sentence[-1] in ".?" and "{" not in doubt.sentence


@kinds
@few
@given(st.data())
def test_a_part_of_the_fields_passes_as_an_edit(kind, data):
    fields = data.draw(fields_of(kind))
    part = {name: value for name, value in fields.items() if data.draw(st.booleans())}
    assert check_fields(kind, part, creates=False) == []


WRONG = [
    ("trap_visit", {"moths": -5}, "greater_than_equal", "“moths” is -5, and must be at least 0."),
    ("trap_visit", {"moths": 100_001}, "less_than_equal", "“moths” is 100001, and must be at most 100000."),
    ("trap_visit", {"moths": 2.5}, "int_type", "“moths” is “2.5”, and must be a whole number."),
    ("trap_visit", {"moths": "3"}, "int_type", "“moths” is “3”, and must be a whole number."),
    ("trap_visit", {"moths": True}, "int_type", "“moths” is “True”, and must be a whole number."),
    ("trap_visit", {"emptied": 1}, "bool_type", "“emptied” is “1”, and must be yes or no."),
    (
        "trap_visit",
        {"when": "1900-06-04"},
        "value_error",
        "“when”: The date 1900-06-04 lies outside 1950 to 2100; correct the date.",
    ),
    (
        "trap_visit",
        {"state": "gone"},
        "enum",
        "“state” is “gone”; it is one of counted, not_visited, lost, flooded or unreadable.",
    ),
    ("trap_visit", {"trap": "T1"}, "string_pattern_mismatch", "“trap” holds a value of the wrong form."),
    ("trap_visit", {"trap": None}, "string_type", "“trap” is “None”, and must be a text."),
    ("trap_visit", {"_del": "yes"}, "bool_type", "“_del” is “yes”, and must be yes or no."),
    ("garden", {"name": ""}, "string_too_short", "“name” is empty; fill it in."),
    ("garden", {"name": "x" * 61}, "string_too_long", "“name” is longer than 60; shorten it."),
    ("garden", {"name": 7}, "string_type", "“name” is “7”, and must be a text."),
    ("garden", {"name": "bell\x07"}, "string_pattern_mismatch", "“name” holds a value of the wrong form."),
    ("garden", {"lat": 90.5}, "less_than_equal", "“lat” is 90.5, and must be at most 90."),
    ("garden", {"lat": "45"}, "float_type", "“lat” is “45”, and must be a number."),
    ("garden", {"lon": float("nan")}, "less_than_equal", "“lon” is nan, and must be at most 180."),
    (
        "garden",
        {"zone": "Europe/Atlantis"},
        "value_error",
        "“zone”: “Europe/Atlantis” is no time zone; choose one such as Europe/Rome.",
    ),
    (
        "tree",
        {"year_planted": 1799},
        "greater_than_equal",
        "“year_planted” is 1799, and must be at least 1800.",
    ),
    (
        "tree",
        {"removed_on": "2026-06-04T08:00+02:00"},
        "string_too_long",
        "“removed_on” is longer than 10; shorten it.",
    ),
    (
        "tree",
        {"removed_on": "unknown"},
        "value_error",
        "“removed_on”: “unknown” is no day; write it as 2026-06-04.",
    ),
    ("visit", {"when": "yesterday"}, "value_error", None),
    (
        "visit",
        {"season": "2026/28"},
        "value_error",
        "“season”: “2026/28” names no season; write 2026 in the north or 2026/27 in the south.",
    ),
    ("mark", {"marks": []}, "too_short", "“marks” is empty; fill it in."),
    ("mark", {"marks": ["clean"] * 7}, "too_long", "“marks” is longer than 6; shorten it."),
    ("mark", {"marks": ["clean", "bitten"]}, "enum", None),
    ("mark", {"place": "the top"}, "string_pattern_mismatch", "“place” holds a value of the wrong form."),
    ("job", {"trees": ["T1"]}, "string_pattern_mismatch", "“trees.0” holds a value of the wrong form."),
    ("job", {"products": [{}]}, "missing", "“products.0.name” is missing; give it."),
    (
        "job",
        {"products": [{"name": "a", "pre_harvest_days": -1}]},
        "greater_than_equal",
        "“products.0.pre_harvest_days” is -1, and must be at least 0.",
    ),
    (
        "job",
        {"products": [{"name": "a", "pre_harvest_days": "later"}]},
        "int_type",
        "“products.0.pre_harvest_days” is “later”, and must be a whole number.",
    ),
    ("job", {"bbch": "7"}, "string_pattern_mismatch", "“bbch” holds a value of the wrong form."),
    ("day_temperature", {"unit": "K"}, "literal_error", "“unit” is “K”; it is one of C or F."),
    ("day_temperature", {"when": "2026-06-01/2026-06-02"}, "string_too_long", None),
    ("number", {"n": -1}, "greater_than_equal", "“n” is -1, and must be at least 0."),
    ("pick", {"fruit_per_kg": 0}, "greater_than_equal", "“fruit_per_kg” is 0, and must be at least 0.1."),
    ("method", {"key": "Garlic!"}, "string_pattern_mismatch", "“key” holds a value of the wrong form."),
    (
        "plan_line",
        {"methods": ["a+b"]},
        "string_pattern_mismatch",
        "“methods.0” holds a value of the wrong form.",
    ),
]


@pytest.mark.parametrize(("kind", "wrong", "code", "sentence"), WRONG, ids=lambda part: str(part)[:40])
@pytest.mark.parametrize("creates", [True, False], ids=["creating", "editing"])
def test_a_wrong_value_is_named_with_its_field(kind, wrong, code, sentence, creates):
    assert check_fields(kind, RIGHT[kind], creates) == []
    [complaint] = check_fields(kind, (RIGHT[kind] if creates else {}) | wrong, creates)
    [name] = wrong
    assert complaint.field.split(".")[0] == name
    assert complaint.code == code
    assert complaint.sentence == sentence or (sentence is None and f"“{name}" in complaint.sentence)


def test_several_wrong_fields_are_each_named_once():
    found = check_fields("trap_visit", {"moths": -5, "state": "gone", "when": "1900-06-04"}, creates=True)
    assert {complaint.field for complaint in found} == {"trap", "moths", "state", "when"}
    assert len(found) == 4
    for complaint in found:
        assert f"“{complaint.field}”" in complaint.sentence and complaint.sentence.endswith(".")


@kinds
@few
@given(st.data())
def test_every_complaint_is_a_whole_sentence_that_names_its_field(kind, data):
    names = sorted(name for name in {*FIELDS[kind].must, *FIELDS[kind].may})
    name = data.draw(st.sampled_from(names))
    rubbish = data.draw(
        st.sampled_from([-(10**9), 10**9, 1.5, "", "\x00", "x" * 3000, [], ["\x01"], {}, [{}], True, None])
    )
    for complaint in check_fields(kind, {name: rubbish}, creates=False):
        assert complaint.field.split(".")[0] == name
        assert f"“{complaint.field}”" in complaint.sentence
        assert complaint.sentence.endswith(".") and len(complaint.sentence) < 250


@kinds
def test_an_unknown_field_of_a_newer_version_passes_and_is_kept(kind):
    assert check_fields(kind, {"not_yet_known": {"deep": [1]}}, creates=False) == []
    made = PHONE.makes("garden", {**RIGHT["garden"], "not_yet_known": 7})
    folded = fold([made])
    assert folded.fields["not_yet_known"] == 7
    assert record_of(folded) is not None


def test_an_undo_needs_no_other_field():
    for creates in (True, False):
        assert check_fields("garden", {"_del": True}, creates) == []


def test_a_record_whose_first_entry_has_not_come_is_none_yet():
    garden = PHONE.garden()
    edit = PHONE.edits(garden, note="steep")
    assert record_of(fold([edit])) is None
    assert record_of(fold([edit, garden])) is not None


def test_unknown_kinds_and_newer_versions_are_not_known():
    assert is_known("garden", 1) and not is_known("garden", 2) and not is_known("bee", 1)
    bee = PHONE.makes("bee", {"name": "Maja"})
    assert record_of(fold([bee])) is None

"""The server's fast way to seal an entry gives the bytes of the one rule in shared_models."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.services.sealing import sealed_entry
from shared_models.entries import LARGEST, SMALLEST, Entry, seal
from shared_models.records.kinds import KINDS
from tests.builders import FieldPhone
from tests.strategies import EXAMPLES, entries, free_entries

NAMED = st.text(alphabet=[chr(code) for code in range(128)], max_size=40)
FLOATS = st.floats(SMALLEST, LARGEST, exclude_max=True).filter(lambda number: number != int(number))


def same(entry: Entry) -> bool:
    """Whether both ways give the same text and hash."""
    fast, slow = sealed_entry(entry), seal(entry)
    return (fast.body, fast.hash) == (slow.body, slow.hash)


def test_every_character_that_json_can_carry_is_written_alike():
    phone = FieldPhone()
    carried = [chr(code) for code in range(sys.maxunicode + 1) if not 0xD800 <= code <= 0xDFFF]
    fields = {"when": "2026-08-20", "text": "x"}
    for start in range(0, len(carried), 2000):
        note = phone.makes("note", {**fields, "more": "".join(carried[start : start + 2000])})
        assert same(note), f"between {start:#x} and {start + 2000:#x}"


@given(st.one_of(FLOATS, FLOATS.map(lambda number: -number)))
@settings(max_examples=EXAMPLES * 3, deadline=None)
def test_every_number_is_written_alike(number: float):
    entry = FieldPhone().makes("note", {"text": "x", "when": "2026-08-20"})
    assert same(entry.model_copy(update={"f": {"n": number, "list": [number, 0, -1, 2**53 - 1]}}))


@given(st.dictionaries(NAMED, st.one_of(st.none(), st.booleans(), NAMED), max_size=8))
@settings(max_examples=EXAMPLES, deadline=None)
def test_nested_names_of_any_ascii_stand_in_the_same_order(nested: dict[str, object]):
    entry = FieldPhone().makes("note", {"text": "x", "when": "2026-08-20", "more": nested})
    assert same(entry)


@given(st.one_of(free_entries(), *(entries(kind) for kind in sorted(KINDS))))
@settings(max_examples=EXAMPLES, deadline=None)
def test_entries_of_every_kind_are_sealed_alike(entry: Entry):
    assert same(entry)


def test_an_edit_keeps_what_it_replaced():
    phone = FieldPhone()
    tree = phone.tree(phone.garden())
    edit = tree.model_copy(update={"prev": {"label": tree.id}})
    assert same(edit)
    assert '"prev":{"label"' in sealed_entry(edit).body


@pytest.mark.parametrize("number", [SMALLEST, 0.1, 1 / 3, 123456789.125, LARGEST - 0.125])
def test_numbers_at_the_ends_are_written_alike(number: float):
    entry = FieldPhone().makes("note", {"text": "x", "when": "2026-08-20"})
    assert same(entry.model_copy(update={"f": {"n": number}}))

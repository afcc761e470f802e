"""A line of a copy: an entry as it came, one of a newer app kept unread, or none."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from shared_models.copy_file.lines import CopiedEntry, Wrong, id_of, read_line
from shared_models.entries import Entry, canonical_text, seal
from tests.strategies import entries, law

ENTRY = {
    "by": "01990000-0000-7000-8000-000000000001",
    "device": "01990000-0000-7000-8000-000000000002",
    "entered": "2026-09-12T10:00:00+02:00",
    "f": {"name": "Hill", "hemisphere": "north"},
    "id": "01990000-0000-7000-8000-000000000003",
    "kind": "garden",
    "rec": "01990000-0000-7000-8000-000000000003",
    "stamp": "0199000000000000",
    "tz": "Europe/Rome",
    "v": 1,
}


def line(**changed: Any) -> bytes:
    """The line of an entry with changes."""
    return json.dumps({**ENTRY, **changed}, ensure_ascii=False, separators=(",", ":")).encode()


@law
@given(entries())
def test_every_entry_comes_back_with_its_own_bytes(entry: Entry) -> None:
    read = read_line(canonical_text(entry).encode())
    assert isinstance(read, CopiedEntry)
    assert read.sealed == seal(entry)
    assert id_of(canonical_text(entry).encode()) == entry.id


def test_an_entry_that_is_known_is_read() -> None:
    read = read_line(line())
    assert isinstance(read, CopiedEntry) and read.readable


@pytest.mark.parametrize(
    "changed",
    [
        {"v": 2},
        {"kind": "hedge"},
        {"weather": "wet"},
        {"kind": "hedge", "f": {"deep": [[[[[[[[1]]]]]]]]}},
        {"f": {"name": "Hill", "hemisphere": "east"}},
    ],
)
def test_what_a_newer_app_may_have_written_is_kept_unread(changed: dict[str, Any]) -> None:
    read = read_line(line(**changed))
    assert isinstance(read, CopiedEntry) and not read.readable
    assert json.loads(read.sealed.body) == {**ENTRY, **changed} and read.id == ENTRY["id"]


@pytest.mark.parametrize(
    "bad",
    [
        b"",
        b"hello",
        b"[1,2]",
        b"null",
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"a":' * 50_000,
        b"9" * 5000,
        line(id="../../etc"),
        line(rec=7),
        line(stamp="late"),
        line(kind="x" * 41),
        line(kind=None),
        b'{"id":NaN}',
    ],
)
def test_what_is_no_entry_is_said_to_be_none(bad: bytes) -> None:
    assert read_line(bad) is Wrong.NO_ENTRY


@pytest.mark.parametrize(
    "changed",
    [
        {"f": {}},
        {"f": {"name": "x" * 2001}},
        {"by": "somebody"},
        {"entered": "yesterday"},
        {"v": 0},
        {
            "f": {"name": "half \ud800".encode("utf-16", "surrogatepass").decode("utf-16", "replace")},
            "tz": "?",
        },
    ],
)
def test_what_no_record_can_hold_is_said_to_be_bad(changed: dict[str, Any]) -> None:
    assert read_line(line(**changed)) is Wrong.BAD_ENTRY


def test_half_a_letter_is_bad() -> None:
    assert read_line(line().replace(b'"Hill"', b'"\\ud800"')) is Wrong.BAD_ENTRY


def test_every_reason_has_its_sentence() -> None:
    assert all(why.sentence().endswith(".") for why in Wrong)

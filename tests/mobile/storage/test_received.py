"""The text of an entry that was pulled is the one that its phone wrote, made anew from what was parsed."""

from __future__ import annotations

import sys

from hypothesis import given
from hypothesis import strategies as st

from mobile.storage.received import received_page
from shared_models.entries import LARGEST, SMALLEST, Entry, canonical_text, text_hash
from shared_models.protocol import PullReply
from shared_models.records.kinds import KINDS
from tests.builders import FieldPhone
from tests.mobile.pages import EPOCH, TIME
from tests.strategies import entries, free_entries, law

FLOATS = st.floats(SMALLEST, LARGEST, exclude_max=True).filter(lambda number: number != int(number))


def is_kept(entry: Entry) -> bool:
    """Whether the text that comes over the line is the text that is kept."""
    body = canonical_text(entry)
    stands = f'"epoch":"{EPOCH}","server_time":"{TIME}","digest":"","since":0,"to":1,"max":1'
    page = PullReply.model_validate_json(f'{{{stands},"items":[{{"seq":1,"entry":{body}}}]}}')
    (received,) = received_page(page)
    return (received.sealed.body, received.sealed.hash) == (body, text_hash(body))


def test_every_character_that_json_can_carry_is_kept():
    phone = FieldPhone()
    carried = [chr(code) for code in range(sys.maxunicode + 1) if not 0xD800 <= code <= 0xDFFF]
    for start in range(0, len(carried), 2000):
        note = phone.makes(
            "note", {"when": "2026-08-20", "text": "x", "more": "".join(carried[start : start + 2000])}
        )
        assert is_kept(note), f"between {start:#x} and {start + 2000:#x}"


@law
@given(st.one_of(FLOATS, FLOATS.map(lambda number: -number)))
def test_every_number_is_kept(number: float):
    entry = FieldPhone().makes("note", {"text": "x", "when": "2026-08-20"})
    assert is_kept(entry.model_copy(update={"f": {"n": number, "list": [number, 0, -1, 2**53 - 1]}}))


@law
@given(st.one_of(free_entries(), *(entries(kind) for kind in sorted(KINDS))))
def test_entries_of_every_kind_are_kept(entry: Entry):
    assert is_kept(entry)

"""The invented seasons that the phone brings along are those of the generator."""

from __future__ import annotations

import gzip

from demo.packaged import packaged_entries, with_plain_ids
from mobile.workflows.invented import FILE

A, B = "01991bad-d080-731e-b660-9cbc9c2f2141", "01991bad-d080-7f00-ac77-bf9de90e1c2d"


def test_the_file_is_what_the_generator_makes_today():
    """Where this fails: `python -m demo.packaged` writes it anew."""
    assert gzip.decompress(FILE.read_bytes()).decode() == packaged_entries()


def test_ids_keep_their_time_and_lose_their_chance():
    text = with_plain_ids(f'{{"id":"{A}","by":"{B}","rec":"{A}"}}')
    first, second = "01991bad-d080-7000-8000-000000000000", "01991bad-d080-7000-8000-000000000001"
    assert text == f'{{"id":"{first}","by":"{second}","rec":"{first}"}}'

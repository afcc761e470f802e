"""Seals entries as `shared_models.entries.seal` does, with the same bytes, three times as fast.

A push is mostly this work. orjson is not there on a phone, so the rule stays where it is and this is its copy for
speed: the tests compare both over every character and over entries of every kind.
"""

import hashlib

import orjson

from shared_models.entries import Entry, SealedEntry


def sealed(entry: Entry) -> SealedEntry:
    """Fix the bytes of an entry for life."""
    fields = entry.__dict__
    if entry.prev is None:
        fields = {**fields}
        del fields["prev"]
    body = orjson.dumps(fields, option=orjson.OPT_SORT_KEYS)
    return SealedEntry(entry, body.decode(), hashlib.sha256(body).hexdigest())

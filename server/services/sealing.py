"""Seals entries as `shared_models.entries.seal` does, with the same bytes, three times as fast.

A push is mostly this work. orjson is not there on a phone, so the rule stays where it is and this is its copy for
speed: the tests compare both over every character and over entries of every kind.
"""

import hashlib
from typing import Any

import orjson

from server.database.arrivals import Arrival
from shared_models.entries import Entry


def sealed(envelope: dict[str, Any]) -> Arrival:
    """Fix the bytes of a checked envelope for life."""
    body = orjson.dumps(envelope, option=orjson.OPT_SORT_KEYS)
    return Arrival(envelope, body.decode(), hashlib.sha256(body).hexdigest())


def sealed_entry(entry: Entry) -> Arrival:
    """The same of an entry."""
    fields = {**entry.__dict__}
    if entry.prev is None:
        del fields["prev"]
    return sealed(fields)

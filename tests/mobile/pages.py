"""Pages as a server would send them, made of entries that real phones made."""

import json
from collections.abc import Iterable
from typing import Any

from mobile.storage.phone_store import PhoneStore
from shared_models.digest import NOTHING
from shared_models.entries import Entry, canonical_text, read_entry
from shared_models.protocol import PulledEntry, PullReply

TIME = "2026-09-12T10:00:00+00:00"
EPOCH = "0123456789abcdef"


def fields_of(entry: Entry) -> dict[str, Any]:
    """An entry as it stands in a message."""
    return dict(json.loads(canonical_text(entry)))


def page(entries: Iterable[Entry | dict[str, Any]], since: int = 0, most: int | None = None) -> PullReply:
    """The entries numbered from `since` + 1 on, as they come over the line (through JSON)."""
    sent = [entry if isinstance(entry, dict) else fields_of(entry) for entry in entries]
    items = [PulledEntry(seq=since + place, entry=fields) for place, fields in enumerate(sent, 1)]
    to = since + len(items)
    numbers = {"since": since, "to": to, "max": most or to}
    reply = PullReply(epoch=EPOCH, digest=NOTHING, server_time=TIME, items=items, **numbers)
    return PullReply.model_validate_json(reply.model_dump_json())


def oldest_first(store: PhoneStore) -> list[Entry]:
    """Everything that a phone holds, as read back from its canonical text."""
    return [read_entry(canonical_text(entry)) for entry in reversed(store.history(100_000))]

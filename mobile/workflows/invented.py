"""The invented seasons to look around in: a store of its own, filled from a file that came with the app.

Offers `make_invented`, `is_invented`, `invented_clock`, and `is_looking_around` / `look_around` / `leave`, which the
real store remembers. The file holds entries as a group's server would send them, and is taken in by the same way. They
bear numbers as if they had been shared, so nothing of them is ever sent, and such a phone is never connected.
"""

import gzip
import json
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from shared_models.digest import NOTHING
from shared_models.entries import Fields
from shared_models.language import say
from shared_models.protocol import PulledEntry, PullReply

FILE = Path(__file__).parent / "invented_seasons.jsonl.gz"
ZONE = "Europe/Vienna"
LIVED_UNTIL = datetime.fromisoformat("2026-10-13T10:00:00+02:00")  # the day after the last of the file
PAGE = 500
_CHOICE, _MADE = "looking_around", "invented"


def make_invented(store: PhoneStore) -> None:
    """Fill an empty store; one that was filled before stays as it is. Its person comes last, and says that all is there."""
    if store.identity is not None:
        return
    entries = list(entries_of_file())
    for since in range(0, len(entries), PAGE):
        store.incoming.take(_page(entries, since))
    store.save_choices(store.choices() | {_MADE: True})
    store.begin(say("You, looking around"), ZONE)


def is_invented(store: PhoneStore) -> bool:
    """Whether this store holds the invented seasons, and so nothing that may be shared."""
    return bool(store.choices().get(_MADE))


def entries_of_file(file: Path = FILE) -> Iterator[Fields]:
    """The entries of the file, oldest first."""
    with gzip.open(file, "rt", encoding="utf-8") as lines:
        for line in lines:
            yield json.loads(line)


def invented_clock() -> Callable[[], datetime]:
    """A clock that begins on the day after everything in the file and goes on from there."""
    began = time.monotonic()
    return lambda: LIVED_UNTIL + timedelta(seconds=time.monotonic() - began)


def is_looking_around(store: PhoneStore) -> bool:
    """Whether the person was in the invented seasons when the app went away; asked of the real store."""
    return bool(store.choices().get(_CHOICE))


def look_around(store: PhoneStore) -> None:
    """Remember in the real store that the person looks around elsewhere."""
    store.save_choices(store.choices() | {_CHOICE: True})


def leave(store: PhoneStore) -> None:
    """Remember in the real store that the person is back."""
    store.save_choices(store.choices() | {_CHOICE: False})


def _page(entries: list[Fields], since: int) -> PullReply:
    items = [
        PulledEntry(seq=since + number, entry=fields)
        for number, fields in enumerate(entries[since : since + PAGE], 1)
    ]
    return PullReply(
        epoch="invented",
        digest=NOTHING,  # never compared: there is no server
        server_time=LIVED_UNTIL.isoformat(),
        since=since,
        to=since + len(items),
        max=len(entries),
        items=items,
    )

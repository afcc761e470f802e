"""An entry as the server sent it: kept as it came, and whether this app can read it. Knows no database."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError
from pydantic_core import to_json

from shared_models.entries import Entry, SealedEntry, text_hash
from shared_models.errors import NotReachableError
from shared_models.language import say
from shared_models.protocol import PulledEntry, PullReply
from shared_models.records.kinds import is_readable as is_readable
from shared_models.stamps import LATEST_MS

_COLUMNS = ("id", "rec", "kind", "stamp")
_LATEST_STAMP = f"{LATEST_MS << 16:016x}"


@dataclass(frozen=True, slots=True)
class Received:
    """An entry with its number; `readable` says whether this app may fold it."""

    seq: int
    sealed: SealedEntry
    readable: bool

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.sealed.entry.id


def received_page(page: PullReply) -> list[Received]:
    """The entries of a page; NotReachableError where it has a hole or is no page at all."""
    numbers = [item.seq for item in page.items]
    if numbers != list(range(page.since + 1, page.to + 1)):
        raise NotReachableError(
            say(
                "The server's answer was incomplete, so nothing of it was taken. "
                "Everything here is kept; try again later."
            )
        )
    return [_received(item) for item in page.items]


def newest_stamp(received: Iterable[Received]) -> int:
    """The greatest believable stamp; one beyond belief would leave no room for the next."""
    return greatest_stamp(one.sealed.entry.stamp for one in received)


def greatest_stamp(stamps: Iterable[str]) -> int:
    """The same of stamps by themselves."""
    return max((int(stamp, 16) for stamp in stamps if stamp <= _LATEST_STAMP), default=0)


def _received(item: PulledEntry) -> Received:
    # In the order in which the fields came: for an entry of a phone these are its own bytes. `json` would take as long
    # for this as everything else that is done with an entry here.
    body = to_json(item.entry).decode()
    known = text_hash(body)
    try:
        entry = Entry.model_validate(item.entry)
    except ValidationError:  # an envelope of a later version
        return Received(item.seq, SealedEntry(_columns_of(item.entry), body, known), readable=False)
    return Received(item.seq, SealedEntry(entry, body, known), is_readable(entry))


def _columns_of(fields: dict[str, Any]) -> Entry:
    columns: dict[str, Any] = {name: fields.get(name) for name in _COLUMNS}
    if not all(isinstance(value, str) for value in columns.values()):
        raise NotReachableError(
            say(
                "The server's answer cannot be read by this app, so nothing of it was taken. "
                "Everything here is kept; update the app."
            )
        )
    return Entry.model_construct(None, **columns)

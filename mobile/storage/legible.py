"""Stored texts that this app can read as entries: a newer app may have put more around one than this app knows."""

from collections.abc import Iterable, Iterator

from pydantic import ValidationError

from shared_models.entries import Entry, read_entry
from shared_models.records.kinds import is_readable


def entries_of_texts(bodies: Iterable[str]) -> Iterator[Entry]:
    """The entries of these texts; what cannot be read at all is passed over."""
    for body in bodies:
        try:
            yield read_entry(body)
        except ValidationError:
            continue


def can_be_folded(body: str) -> bool:
    """Whether this app knows all that a stored text says."""
    return any(map(is_readable, entries_of_texts([body])))

"""A line of a copy: the entry that it holds, kept unread where a newer app wrote it, or why it is none."""

import json
from dataclasses import dataclass
from enum import StrEnum
from typing import NoReturn

from pydantic import ValidationError

from shared_models.entries import Entry, Fields, SealedEntry, text_hash
from shared_models.identifiers import is_identifier
from shared_models.language import spoken, word
from shared_models.records.kinds import is_known, is_readable
from shared_models.stamps import STAMP_FORM

_MOST_OF_A_KIND = 40  # characters
# In the order in which the fields came: for an entry of a phone these are its own bytes.
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


class Wrong(StrEnum):
    """Why a line is not taken."""

    NO_ENTRY = "no_entry"
    BAD_ENTRY = "bad_entry"
    OTHER_HERE = "other_here"

    def sentence(self) -> str:
        """For the person."""
        return spoken(_SENTENCES[self])


_SENTENCES = {
    Wrong.NO_ENTRY: word("It holds no record."),
    Wrong.BAD_ENTRY: word("It holds something that no record can hold."),
    Wrong.OTHER_HERE: word("Another record has its place here. The one that was here stays."),
}


@dataclass(frozen=True, slots=True)
class CopiedEntry:
    """An entry as it stands in the copy; `readable` says whether this app may fold it."""

    sealed: SealedEntry
    readable: bool

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.sealed.entry.id


def id_of(line: bytes) -> str | None:
    """The id that a line names, at a glance; None where it names none."""
    fields = _fields(line)
    named = fields.get("id") if fields is not None else None
    return named if isinstance(named, str) else None


def read_line(line: bytes) -> CopiedEntry | Wrong:
    """The entry of a line; what a newer app wrote is taken unread, as it comes from a server too."""
    fields = _fields(line)
    if fields is None or not _has_columns(fields):
        return Wrong.NO_ENTRY
    body = _ENCODER.encode(fields)
    try:
        digest = text_hash(body)
    except UnicodeEncodeError:  # half of a letter, which no text can hold
        return Wrong.BAD_ENTRY
    try:
        entry = Entry.model_validate(fields)
    except ValidationError:
        if not _is_of_a_newer_app(fields):
            return Wrong.BAD_ENTRY
        columns = {name: fields[name] for name in ("id", "rec", "kind", "stamp")}
        return CopiedEntry(SealedEntry(Entry.model_construct(None, **columns), body, digest), readable=False)
    return CopiedEntry(SealedEntry(entry, body, digest), is_readable(entry))


def _fields(line: bytes) -> Fields | None:
    try:
        found = json.loads(line, parse_constant=_refuse)
    except (ValueError, RecursionError):  # UnicodeDecodeError is a ValueError
        return None
    return found if isinstance(found, dict) else None


def _refuse(constant: str) -> NoReturn:
    raise ValueError(f"{constant} is no number")


def _has_columns(fields: Fields) -> bool:
    """Whether it has what every entry of every version has, in the form that it has."""
    kind, stamp = fields.get("kind"), fields.get("stamp")
    if not (isinstance(kind, str) and 0 < len(kind) <= _MOST_OF_A_KIND):
        return False
    if not (isinstance(stamp, str) and STAMP_FORM.fullmatch(stamp)):
        return False
    return is_identifier(fields.get("id")) and is_identifier(fields.get("rec"))


def _is_of_a_newer_app(fields: Fields) -> bool:
    """Whether it has more around it than this app knows, or is of a kind or a version that this app does not know."""
    version = fields.get("v")
    known = isinstance(version, int) and is_known(fields["kind"], version)
    return not known or not set(fields) <= set(Entry.model_fields)

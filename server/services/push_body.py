"""The body of a push: bytes that were sent, made entries and what cannot be one. Judges no content, stores nothing.

A phone sends the canonical texts of its entries, joined. Then the texts made here from what was read equal the bytes
sent, which proves at once that no name stands twice and nothing was lost. Only where they differ, or where something
sent is no entry, is each entry cut out of the bytes and looked at by itself.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any

import orjson
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic_core import SchemaValidator

from server.database.arrivals import Arrival
from server.services.sealing import sealed, sealed_entry
from shared_models.entries import Entry, FieldName, Identifier
from shared_models.errors import BadInputError, TooLargeError
from shared_models.identifiers import is_identifier
from shared_models.language import say
from shared_models.protocol import MAX_PUSH_ENTRIES
from shared_models.records.plain_checks import annotation_of, checks_of, plain_type
from shared_models.records.refusals import Complaint, complaints
from shared_models.when import INSTANT_FORM, is_day


def _whole() -> SchemaValidator:
    """Checks a push in which every entry can be read. They stay plain: making entries of them costs as much again."""
    fields = {name: annotation_of(info) for name, info in Entry.model_fields.items()}
    fields["prev"] = dict[FieldName, Identifier]  # a canonical text has none rather than null
    fields["entered"] = Annotated[
        str, Field(pattern=f"^{INSTANT_FORM.pattern}$")
    ]  # its day: see `_canonical`
    envelope = plain_type("Envelope", fields, fields.keys() - {"prev"}, "forbid", strict=True)
    entries = {"entries": Annotated[list[envelope], Field(max_length=MAX_PUSH_ENTRIES)]}  # type: ignore[valid-type]
    return checks_of(plain_type("Push", entries, entries.keys(), "forbid"))


_WHOLE = _whole()


class _Partly(BaseModel):
    """A push in which some can be read; what cannot stands in its place as it was parsed."""

    model_config = ConfigDict(extra="ignore")
    entries: Annotated[
        list[Annotated[Entry | Any, Field(union_mode="left_to_right")]], Field(max_length=MAX_PUSH_ENTRIES)
    ]


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Something sent in the place of an entry that is none, why, and its text. Its id where it has one."""

    entry_id: str | None
    complaint: Complaint
    raw: str


def read_push(body: bytes) -> list[Arrival | Unreadable]:
    """The entries of a push in their order; BadInputError where the body is no push, TooLargeError beyond 500."""
    entries = _canonical(body)
    return _read_each(body) if entries is None else [*entries]


def _canonical(body: bytes) -> list[Arrival] | None:
    """The entries of a push that holds nothing but canonical texts of entries; None where it may be another one."""
    try:
        whole = _WHOLE.validate_python(orjson.loads(body))
    except (ValidationError, orjson.JSONDecodeError):
        return None
    envelopes = whole["entries"]
    if not all(map(is_day, {envelope["entered"][:10] for envelope in envelopes})):
        return None
    entries = [sealed(envelope) for envelope in envelopes]
    same = body == f'{{"entries":[{",".join([one.body for one in entries])}]}}'.encode()
    return entries if same else None


def _read_each(body: bytes) -> list[Arrival | Unreadable]:
    try:
        partly = _Partly.model_validate_json(body)
    except ValidationError as error:
        raise _no_push(error) from error
    items = [sealed_entry(item) if isinstance(item, Entry) else item for item in partly.entries]
    return [_looked_at(item, cut) for item, cut in zip(items, _cuts(body, items), strict=True)]


def _no_push(error: ValidationError) -> BadInputError | TooLargeError:
    if error.errors()[0]["type"] == "too_long":
        return TooLargeError(
            say("More than {most} entries at once; nothing was kept. Send fewer.", most=MAX_PUSH_ENTRIES)
        )
    return _not_a_push()


def _not_a_push() -> BadInputError:
    return BadInputError(
        say("This is no push: it must be a JSON object with a list “entries”. Nothing of it was kept.")
    )


@dataclass(frozen=True, slots=True)
class _Cut:
    """One item as it stands in the body, and what a careful reader stumbles over: a name twice, NaN."""

    raw: str
    stumbled: str | None = None


def _looked_at(item: Arrival | Any, cut: _Cut) -> Arrival | Unreadable:
    complaint = _careless(cut.stumbled) if cut.stumbled else None
    if isinstance(item, Arrival):
        return item if complaint is None else Unreadable(item.id, complaint, cut.raw)
    named = item.get("id") if isinstance(item, dict) else None
    return Unreadable(named if is_identifier(named) else None, complaint or _why(item), cut.raw)


def _why(item: object) -> Complaint:
    """What is wrong with an item that is no entry."""
    try:
        Entry.model_validate(item)
    except ValidationError as error:
        return complaints(error)[0]
    raise AssertionError("An entry that could not be read can be read.")


def _careless(stumbled: str) -> Complaint:
    sentence = say("“{field}” stands there twice or is no JSON value; write it once.", field=stumbled[:40])
    return Complaint(stumbled[:40], "not_plain_json", sentence)


def _cuts(body: bytes, items: list[Any]) -> list[_Cut]:
    return _Cutter(body.decode()).cuts(items)


_BLANKS = re.compile(r"[ \t\n\r]*")


class _Cutter:
    """Walks through a body that is known to be JSON, and cuts the entries out of it."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._stumbled: str | None = None
        self._decoder = json.JSONDecoder(object_pairs_hook=self._object, parse_constant=self._constant)

    def cuts(self, items: list[Any]) -> list[_Cut]:
        """The items as they stand in the body; BadInputError where it holds two lists of them."""
        found: list[_Cut] | None = None
        self._take()
        while True:
            name = self._value()
            self._take()
            if name != "entries":
                self._value()
            elif found is None:
                found = self._list(iter(items))
            else:
                raise _not_a_push()
            if self._take() == "}":
                return found or []

    def _list(self, items: Iterator[Any]) -> list[_Cut]:
        found: list[_Cut] = []
        self._take()
        if self._text[self._skip_blanks()] == "]":
            self._take()
            return found
        while True:
            found.append(self._cut(next(items, None)))
            if self._take() == "]":
                return found

    def _cut(self, item: Any) -> _Cut:
        start = self._skip_blanks()
        if isinstance(item, Arrival) and self._text.startswith(item.body, start):
            self._at = start + len(item.body)
            return _Cut(item.body)
        self._stumbled = None
        self._value()
        return _Cut(self._text[start : self._at], self._stumbled)

    def _value(self) -> Any:
        value, self._at = self._decoder.raw_decode(self._text, self._skip_blanks())
        return value

    def _take(self) -> str:
        at = self._skip_blanks()
        self._at = at + 1
        return self._text[at]

    def _skip_blanks(self) -> int:
        blanks = _BLANKS.match(self._text, self._at)
        self._at = blanks.end() if blanks else self._at
        return self._at

    def _object(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        fields = dict(pairs)
        if len(fields) < len(pairs):
            names = [name for name, _ in pairs]
            self._stumbled = next(name for name in names if names.count(name) > 1)
        return fields

    def _constant(self, name: str) -> None:
        self._stumbled = name

"""The entry: an envelope that sets some fields of one record. Never changed, never deleted; knows no record kinds.

Canonical bytes are RFC 8785 (JSON Canonicalization Scheme) on a narrowed domain: ASCII field names, and numbers
that every JSON reader writes alike. They are made on the phone, hashed with SHA-256, and stay the same for life.
"""

import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from shared_models.stamps import STAMP_FORM
from shared_models.when import is_instant, parse_when

Fields = dict[str, Any]

DELETED = "_del"  # an ordinary field: yes where the record was taken back
MAX_TEXT = 2000
MAX_DEPTH = 6
MAX_WHOLE = 2**53 - 1  # the largest that every JSON reader keeps exactly (RFC 7493)
LARGEST, SMALLEST = 1e15, 1e-4  # between them Python and ECMAScript write a float with the same digits

_UUID = r"^[0-9a-f]{8}-[0-9a-f]{4}-[78][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
_NAME = r"^_?[a-z][a-z0-9_]{0,39}$"
_NUMBER, _NESTED = (int, float), (list, dict)  # not `int | float`, which would be made anew for every value
Identifier = Annotated[str, Field(pattern=_UUID)]
FieldName = Annotated[str, Field(pattern=_NAME)]


def _checked_instant(text: str) -> str:
    if not is_instant(text):
        parse_when(text)  # says what is wrong with it, if it is no moment at all
        raise ValueError("“entered” is the time at which the entry was made, with its offset.")
    return text


def _checked_fields(fields: Fields) -> Fields:
    for value in fields.values():
        if type(value) is str:  # the common cases, first and without a call
            if len(value) > MAX_TEXT:
                raise ValueError(f"A text is longer than {MAX_TEXT} characters; shorten it.")
        elif type(value) is not list or not _all_texts(value):
            _check_value(value, 1)
    return fields


def _all_texts(values: list[Any]) -> bool:
    return not [one for one in values if type(one) is not str or len(one) > MAX_TEXT]


def _check_value(value: object, depth: int) -> None:
    if isinstance(value, str):
        if len(value) > MAX_TEXT:
            raise ValueError(f"A text is longer than {MAX_TEXT} characters; shorten it.")
    elif isinstance(value, bool) or value is None:
        return
    elif isinstance(value, _NUMBER):
        _check_number(value)
    elif isinstance(value, _NESTED):
        _check_nested(value, depth)
    else:
        raise ValueError(
            "A field holds something that is no text, number, yes or no, list or group of fields."
        )


def _check_number(value: float) -> None:
    size = abs(value)
    if isinstance(value, int):
        if size > MAX_WHOLE:
            raise ValueError("A whole number is too large to be kept exactly.")
    elif not math.isfinite(value) or (size and not SMALLEST <= size < LARGEST):
        raise ValueError("A number is too large, too small, or no number.")
    elif value == int(value):
        raise ValueError("A whole number must be written without a decimal point.")


def _check_nested(value: list[Any] | dict[str, Any], depth: int) -> None:
    if depth >= MAX_DEPTH:
        raise ValueError("The fields are nested too deeply.")
    if isinstance(value, dict):
        for name in value:
            if not (isinstance(name, str) and name.isascii() and len(name) <= 40):
                raise ValueError("The name of a field is at most 40 plain letters.")
    for item in value.values() if isinstance(value, dict) else value:
        if type(item) is not str or len(item) > MAX_TEXT:  # the common case needs no call
            _check_value(item, depth + 1)


class Entry(BaseModel):
    """One entry, as it is sent and kept. `f` holds the fields that it sets, `prev` what each of them replaced.

    `id` names this entry and `rec` its record; `entered`, `tz`, `by` and `device` are claims of the phone:
    when it was made (ISO 8601 with offset), in which IANA time zone, by which person, on which device.
    The names stand here in the order of the canonical text: putting them in order anew costs five times the writing.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    by: Identifier
    device: Identifier
    entered: Annotated[str, Field(max_length=40), AfterValidator(_checked_instant)]
    f: Annotated[dict[FieldName, Any], Field(min_length=1, max_length=100), AfterValidator(_checked_fields)]
    id: Identifier
    kind: Annotated[str, Field(pattern=r"^[a-z][a-z_]{1,39}$")]
    prev: dict[FieldName, Identifier] | None = None
    rec: Identifier
    stamp: Annotated[str, Field(pattern=f"^{STAMP_FORM.pattern}$")]
    tz: Annotated[str, Field(pattern=r"^[A-Za-z0-9_+\-/]{1,64}$")]
    v: Annotated[int, Field(ge=1, le=9999)]

    @property
    def creates(self) -> bool:
        """Whether this entry makes its record (a later entry on it has an id of its own)."""
        return self.id == self.rec


@dataclass(slots=True)  # not frozen: one is made for every entry, and freezing costs three times as much
class SealedEntry:
    """An entry with its canonical text and the SHA-256 of it (64 hexadecimal digits): what is stored and sent."""

    entry: Entry
    body: str
    hash: str


def seal(entry: Entry) -> SealedEntry:
    """Fix the bytes of an entry for life."""
    body = canonical_text(entry)
    return SealedEntry(entry, body, text_hash(body))


def text_hash(body: str) -> str:
    """The hash of an entry: the SHA-256 of its text, stamp and all, as 64 hexadecimal digits."""
    return hashlib.sha256(body.encode()).hexdigest()


def canonical_text(entry: Entry) -> str:
    """The one JSON text of an entry: names in order, no blanks, no `prev` where nothing was replaced."""
    fields = {name: value for name, value in entry.__dict__.items() if value is not None}
    return _ENCODER.encode(fields)


def read_entry(body: str | bytes) -> Entry:
    """The entry of a stored or received text; pydantic's ValidationError where it is none."""
    return Entry.model_validate_json(body)


def with_plain_numbers(fields: Mapping[str, Any]) -> Fields:
    """The same fields with whole floats as whole numbers and others to 7 decimals (1 cm of latitude).

    Within `SMALLEST` of nought they are nought or `SMALLEST` (11 m, beside the equator and the prime meridian).
    """
    return {name: _plain(value) for name, value in fields.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        rounded = round(value, 7 if abs(value) >= SMALLEST else 4)
        return int(rounded) if rounded == int(rounded) else rounded
    if isinstance(value, dict):
        return with_plain_numbers(value)
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value


_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))

"""One bad entry of every kind, made from a good one by a single change, with the answer that it must get."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from shared_models.entries import Entry, canonical_text
from tests.builders import FieldPhone


@dataclass(frozen=True)
class Bad:
    """A text in the place of an entry, and the field that the answer names."""

    name: str
    text: str
    field: str
    has_id: bool = True


def bad_entries(phone: FieldPhone, visit: Entry) -> list[Bad]:
    """All of them; each with an id of its own where it has one."""
    return [
        *_no_objects(),
        *_bad_envelopes(phone, visit),
        *_bad_fields(phone, visit),
        *_careless(phone, visit),
    ]


def _no_objects() -> list[Bad]:
    shapes = {"a number": "7", "nothing": "null", "a text": '"mark"', "a list": "[1,2]", "yes": "true"}
    return [Bad(name, text, "entry", has_id=False) for name, text in shapes.items()]


def _bad_envelopes(phone: FieldPhone, visit: Entry) -> list[Bad]:
    changed: list[tuple[str, str, Any]] = [
        ("a stamp of other letters", "stamp", "01A01DC146E80000"),
        ("a stamp that is a number", "stamp", 117063680000),
        ("a version of nought", "v", 0),
        ("a version that is a text", "v", "1"),
        ("a kind with blanks", "kind", "tally mark"),
        ("a kind with a NUL", "kind", "mark\0"),
        ("no fields at all", "f", {}),
        ("fields that are a list", "f", []),
        ("a person that is no id", "by", "Ada"),
        ("an instant without its offset", "entered", "2026-08-20T08:00:00"),
        ("a zone of another alphabet", "tz", "Ευρώπη/Ρώμη"),
        ("a record that is no id", "rec", "7"),
        ("replaced fields that are no ids", "prev", {"marks": "before"}),
        ("a name that no entry has", "colour", "red"),
    ]
    found = [_changed(phone, visit, *change) for change in changed]
    found.append(Bad("no id", _without(phone.mark(visit, "clean"), "id"), "id", has_id=False))
    found.append(Bad("an id in capitals", _capitals(phone.mark(visit, "clean")), "id", has_id=False))
    found.append(Bad("no stamp", _without(phone.mark(visit, "clean"), "stamp"), "stamp"))
    return found


def _bad_fields(phone: FieldPhone, visit: Entry) -> list[Bad]:
    deep: Any = "end"
    for _ in range(8):
        deep = [deep]
    fields: list[tuple[str, dict[str, Any], str]] = [
        ("a mark of no visit", {"visit": None}, "visit"),
        ("an unknown score", {"marks": ["eaten"]}, "marks.0"),
        ("a score with a NUL", {"marks": ["\0"]}, "marks.0"),
        ("a place with a NUL", {"place": "\0"}, "place"),
        ("a text that is too long", {"note": "x" * 2001}, "f"),
        ("a number that is too large", {"more": 1e300}, "f"),
        ("a whole number with a point", {"more": 1.0}, "f"),
        ("fields nested too deeply", {"more": deep}, "f"),
    ]
    found = [
        Bad(name, _with_fields(phone.mark(visit, "clean"), change), field) for name, change, field in fields
    ]
    found.append(Bad("a field name in capitals", _with_fields(phone.mark(visit, "clean"), {"Note": 1}), "f"))
    found.append(Bad("a trap visit with too many moths", canonical_text(_moths(phone)), "moths"))
    return found


def _careless(phone: FieldPhone, visit: Entry) -> list[Bad]:
    twice = canonical_text(phone.mark(visit, "clean")).replace('"v":1}', '"v":1,"v":1}')
    inside = canonical_text(phone.mark(visit, "clean")).replace('"f":{', '"f":{"marks":["sting"],')
    no_number = _with_fields(phone.mark(visit, "clean"), {"more": 0}).replace('"more":0', '"more":NaN')
    return [
        Bad("a name that stands twice", twice, "v"),
        Bad("a field that stands twice", inside, "marks"),
        Bad("a field that is no number", no_number, "NaN"),
    ]


def _moths(phone: FieldPhone) -> Entry:
    trap = phone.trap(phone.garden())
    return phone.trap_visit(trap, 7_000_000)


def _changed(phone: FieldPhone, visit: Entry, name: str, field: str, value: Any) -> Bad:
    parts = json.loads(canonical_text(phone.mark(visit, "clean")))
    return Bad(name, json.dumps({**parts, field: value}, sort_keys=True, separators=(",", ":")), field)


def _with_fields(entry: Entry, change: dict[str, Any]) -> str:
    parts = json.loads(canonical_text(entry))
    parts["f"] = {name: value for name, value in {**parts["f"], **change}.items() if value is not None}
    return json.dumps(parts, sort_keys=True, separators=(",", ":"))


def _without(entry: Entry, name: str) -> str:
    parts = json.loads(canonical_text(entry))
    del parts[name]
    return json.dumps(parts, sort_keys=True, separators=(",", ":"))


def _capitals(entry: Entry) -> str:
    return canonical_text(entry).replace(f'"id":"{entry.id}"', f'"id":"{entry.id.upper()}"')

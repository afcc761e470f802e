"""The envelope: what it takes, what it refuses, and bytes that stay the same for life."""

import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from shared_models.entries import (
    LARGEST,
    MAX_DEPTH,
    MAX_TEXT,
    MAX_WHOLE,
    SMALLEST,
    Entry,
    canonical_text,
    read_entry,
    seal,
    with_plain_numbers,
)
from tests.builders import FieldPhone
from tests.strategies import entries, free_entries, law
from tests.values import json_values


def with_fields(**fields):
    """The garden's entry with other fields."""
    garden = FieldPhone().garden()
    return Entry.model_validate(garden.model_dump() | {"f": fields})


def nested(depth):
    """A list in a list, so deep."""
    return 1 if depth == 0 else [nested(depth - 1)]


@law
@given(entries() | free_entries())
def test_what_was_written_reads_back_the_same(entry):
    body = canonical_text(entry)
    assert read_entry(body) == entry
    assert canonical_text(read_entry(body.encode())) == body


@pytest.mark.needs_scipy
@law
@given(entries() | free_entries())
def test_the_canonical_text_is_that_of_rfc_8785(entry):
    rfc8785 = pytest.importorskip("rfc8785", reason="the phone set does not carry it")
    said = entry.model_dump()
    if said["prev"] is None:  # left out where nothing was replaced
        del said["prev"]
    assert canonical_text(entry).encode() == rfc8785.dumps(said)


@pytest.mark.needs_scipy
@law
@given(st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(2**60), 2**60))
def test_every_number_that_is_taken_is_written_as_in_rfc_8785(number):
    import rfc8785

    plain = with_plain_numbers({"n": number})["n"]
    try:
        entry = with_fields(n=plain)
    except ValidationError:
        return
    assert f'"n":{rfc8785.dumps(plain).decode()}' in canonical_text(entry)


def test_the_seal_is_the_sha_256_of_the_text():
    sealed = seal(FieldPhone().garden("Hügel 🍎"))
    assert sealed.hash == hashlib.sha256(sealed.body.encode("utf-8")).hexdigest()
    assert '"name":"Hügel 🍎"' in sealed.body


def test_names_stand_in_order_and_nothing_is_blank():
    body = canonical_text(FieldPhone().garden("A b"))
    assert list(json.loads(body)) == sorted(json.loads(body))
    assert '"prev"' not in body
    assert " " not in body.replace("A b", "")


def test_an_entry_makes_its_record_when_the_ids_agree():
    phone = FieldPhone()
    garden = phone.garden()
    assert garden.creates
    assert not phone.edits(garden, name="Dale").creates


REFUSED = {
    "a whole number with a point": 3.0,
    "minus nought": -0.0,
    "no number": float("nan"),
    "no end": float("inf"),
    "a number too large": 1e300,
    "a number too small": 1e-9,
    "a whole number too large": 2**53,
    "a text too long": "x" * (MAX_TEXT + 1),
    "a deep text too long": ["x" * (MAX_TEXT + 1)],
    "too deep": nested(MAX_DEPTH),
    "a name that is not plain": {"größe": 1},
    "a name too long": {"x" * 41: 1},
    "bytes": b"x",
}


@pytest.mark.parametrize("value", REFUSED.values(), ids=REFUSED.keys())
def test_a_value_that_json_readers_would_not_write_alike_is_refused(value):
    with pytest.raises(ValidationError):
        with_fields(x=value)


TAKEN = [0, -1, MAX_WHOLE, -MAX_WHOLE, SMALLEST, 0.5, LARGEST - 0.5, "x" * MAX_TEXT, "", None, True, [], {}]


@pytest.mark.parametrize("value", [*TAKEN, nested(MAX_DEPTH - 1)], ids=repr)
def test_the_outermost_values_are_taken(value):
    assert with_fields(x=value).f["x"] == value


@pytest.mark.parametrize(
    "changed",
    [
        {"f": {}},
        {"f": {f"x{n}": 1 for n in range(101)}},
        {"f": {"Name": 1}},
        {"f": {"x" * 41: 1}},
        {"f": None},
        {"id": "no"},
        {"rec": "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"},
        {"by": "017f22e2-79b0-4cc3-98c4-dc0c0c07398f"},
        {"device": None},
        {"kind": "Garden"},
        {"kind": "g" * 41},
        {"v": 0},
        {"v": "1"},
        {"v": True},
        {"entered": "2026-06-04"},
        {"entered": "2026-06-04T10:00"},
        {"entered": "unknown"},
        {"tz": "Europe/Rome; drop"},
        {"stamp": "ABCDEF0123456789"},
        {"stamp": 7},
        {"stamp": "0" * 15},
        {"prev": {"name": "no"}},
        {"group": "mine"},
    ],
    ids=str,
)
def test_an_envelope_that_is_not_one_is_refused(changed):
    with pytest.raises(ValidationError):
        Entry.model_validate(FieldPhone().garden().model_dump() | changed)


def test_half_a_character_is_refused_before_it_is_hashed():
    body = canonical_text(FieldPhone().garden("NAME")).replace("NAME", "\\ud83c")
    with pytest.raises(ValidationError):
        read_entry(body)


@pytest.mark.parametrize("number", ["1e400", "-1e400", "NaN", "Infinity", "1.0", "1e2", "9007199254740993"])
def test_numbers_that_change_on_the_way_are_refused(number):
    body = canonical_text(FieldPhone().garden()).replace(
        '"hemisphere"', f'"elevation_m":{number},"hemisphere"'
    )
    with pytest.raises(ValidationError):
        read_entry(body)


@law
@given(st.floats(-1e14, 1e14, allow_nan=False))
def test_plain_numbers_are_always_taken_and_stay_near(number):
    plain = with_plain_numbers({"n": number})["n"]
    assert with_fields(n=plain).f["n"] == plain
    assert plain == pytest.approx(number, abs=5.1e-5, rel=1e-12)


def test_plain_numbers_keep_a_position_to_a_centimetre():
    # 1e-7 degrees of latitude are 1.1 cm (one degree is 111 km).
    said = with_plain_numbers({"lat": 45.123456789, "lon": -0.0, "deep": {"list": (2.0, 0.1234567891)}})
    assert said == {"lat": 45.1234568, "lon": 0, "deep": {"list": [2, 0.1234568]}}


def test_a_garden_on_the_prime_meridian_can_be_written():
    entry = FieldPhone().garden("Greenwich", lat=51.4779, lon=-0.0000312)
    assert read_entry(canonical_text(entry)).f["lon"] == 0


@law
@given(json_values)
def test_plain_numbers_leave_everything_else_alone(value):
    assert with_plain_numbers({"x": value}) == {"x": value}

"""Readings: the same from a record and straight from stored fields, whatever the fields hold."""

import json
from typing import Any

import pytest
from hypothesis import given

from shared_models.fold import FoldedRecord
from shared_models.identifiers import derived_id
from shared_models.records.jobs import DayTemperature
from shared_models.records.kinds import record_of
from shared_models.timing.readings import Reading, reading_of, readings_stored
from tests.strategies import fields_of, law

REC, ENTERED = derived_id(1, "reading"), "2026-05-01T20:00:00+02:00"
WHOLE = {"garden": REC, "when": "2026-05-01", "lowest": 5, "highest": 12.5, "unit": "C"}


def by_record(fields: dict[str, Any]) -> list[Reading]:
    """What the record of these fields says; nothing where there is no record of them."""
    record = record_of(FoldedRecord(REC, DayTemperature.kind, fields, {}, REC, REC, ENTERED, "UTC", "0"))
    return [reading_of(record)] if isinstance(record, DayTemperature) else []


def stored(*fields: dict[str, Any]) -> list[Reading]:
    return readings_stored((REC, json.dumps(one, ensure_ascii=False), ENTERED) for one in fields)


@law
@given(fields_of(DayTemperature.kind))
def test_stored_fields_give_the_reading_of_their_record(fields: dict[str, Any]):
    assert stored(fields) == by_record(fields) != []


@pytest.mark.parametrize("name", WHOLE)
def test_what_is_incomplete_stays_out_and_the_others_are_read(name: str):
    incomplete = {key: value for key, value in WHOLE.items() if key != name}
    assert by_record(incomplete) == []
    assert stored(incomplete, WHOLE) == by_record(WHOLE)


@pytest.mark.parametrize(
    "changed",
    [
        {"lowest": "5"},
        {"lowest": True},
        {"highest": 500},
        {"lowest": -200},
        {"when": "soon"},
        {"when": "20260501"},
        {"when": "2026-W18-5"},
        {"unit": "K"},
        {"when": 3},
    ],
)
def test_what_is_no_reading_stays_out(changed: dict[str, Any]):
    assert stored(WHOLE | changed) == by_record(WHOLE | changed) == []


def test_a_day_of_two_units_is_the_same_reading():
    (celsius,) = stored(WHOLE)
    (fahrenheit,) = stored(WHOLE | {"lowest": 41, "highest": 54.5, "unit": "F"})
    assert fahrenheit[:2] == celsius[:2]
    assert (fahrenheit.lowest, fahrenheit.highest) == pytest.approx((celsius.lowest, celsius.highest))

"""The words of a report: names that run the other way, and months."""

from __future__ import annotations

import pytest

from shared_models.report_words import isolated, month_name, warning_sentence
from shared_models.season.report_parts import Warned


def test_a_plain_name_stays_as_it_is():
    assert isolated("H 12 (left) – Åse’s") == "H 12 (left) – Åse’s"


def test_a_name_from_right_to_left_is_set_apart():
    assert isolated("שורה 3") == "\N{FIRST STRONG ISOLATE}שורה 3\N{POP DIRECTIONAL ISOLATE}"


@pytest.mark.parametrize(
    "mark", "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069", ids=lambda mark: f"U+{ord(mark):X}"
)
def test_no_mark_of_direction_gets_into_a_sentence(mark):
    sentence = warning_sentence(Warned(code="ESTIMATED", about=[f"{mark}1{mark}"], count=1))
    assert sentence == "Some numbers are estimates: 1."


def test_months_are_named_in_their_order():
    assert [month_name(number) for number in (1, 7, 12)] == ["Jan", "Jul", "Dec"]

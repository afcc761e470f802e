"""The words of when: every event and rule has a name, every band says how sure it is, and nothing says safe."""

import pytest

from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.forecast import Basis
from shared_models.language import together
from shared_models.reference.published_events import published_events
from shared_models.timing.parts import DaySpan, EventBand, FigureLine, FlightLine
from shared_models.timing_words import (
    EVENTS,
    RULES,
    band_sentence,
    flight_sentences,
    sources_sentence,
    spans_text,
)

TODAY = "2026-05-20"


def band(earliest: str | None, latest: str | None, basis: Basis, unchecked: bool = False) -> EventBand:
    """First egg hatch at 250 °F-days."""
    figure = FigureLine(low=138.888889, high=138.888889, source="Somebody 2007", unchecked=unchecked)
    return EventBand(
        key="first_hatch",
        low=figure.low,
        high=figure.high,
        earliest=earliest,
        latest=latest,
        basis=basis,
        years=[2024, 2025] if basis is Basis.OWN_YEARS else [],
        unchecked=unchecked,
        figures=[figure],
    )


def flight(state: State, rule: Rule = Rule.TOTAL, **more: object) -> FlightLine:
    said: dict[str, object] = {
        "source": "Somebody 2017",
        "first": None,
        "last": None,
        "moths": 1.0,
        "wanted": 3.0,
        "visits": [],
    }
    usual: dict[str, object] = {"cool": [], "dusk_missing": [], "seen_until": "2026-05-18", "chosen": True}
    return FlightLine.model_validate({"rule": rule, "state": state, **said, **usual, **more})


def test_every_event_and_every_rule_has_a_name():
    assert {event.key for event in published_events()} == set(EVENTS)
    assert set(RULES) == set(Rule)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (band("2026-05-11", "2026-05-11", Basis.REACHED), "reached 2026-05-11."),
        (band("2026-05-11", "2026-05-14", Basis.REACHED), "reached 2026-05-11 to 2026-05-14."),
        (
            band("2026-05-19", "2026-05-25", Basis.LAST_DAYS),
            "about now, 2026-05-19 to 2026-05-25. From the pace of the last fortnight.",
        ),
        (
            band("2026-05-22", "2026-05-28", Basis.OWN_YEARS),
            "expected 2026-05-22 to 2026-05-28. From this garden's own years 2024, 2025.",
        ),
        (
            band("2026-05-22", None, Basis.LAST_DAYS),
            "not before 2026-05-22; no end can be named. From the pace of the last fortnight.",
        ),
        (band(None, None, Basis.NONE), "too far ahead, or too little is known, to name days."),
    ],
)
def test_a_band_says_its_days_and_what_they_rest_on(told: EventBand, said: str):
    assert band_sentence(told, TODAY) == together(f"first egg hatch (139 °C-days, 250 °F-days): {said}")


def test_what_is_quoted_from_memory_is_called_unchecked_twice():
    told = band("2026-05-22", "2026-05-28", Basis.OWN_YEARS, unchecked=True)
    assert together("(unchecked, 139 °C-days") in band_sentence(told, TODAY)
    assert sources_sentence(told).startswith(together("Unchecked, quoted from memory: 139 °C-days"))
    assert "Published" not in sources_sentence(told)


@pytest.mark.parametrize(
    ("told", "first"),
    [
        (flight(State.MET, first="2026-05-07", last="2026-05-11"), "Biofix: 2026-05-07 to 2026-05-11."),
        (flight(State.NOT_MET), "Biofix: not met up to 2026-05-18."),
        (flight(State.NOT_KNOWN), "Biofix: not known; nobody looked for more than a week"),
        (flight(State.NO_TRAP), "Biofix: not known, no trap was counted"),
        (flight(State.NOT_MET, Rule.BY_HAND, wanted=None, source=""), "Biofix: to be set by hand"),
        (flight(State.NO_TRAP, Rule.NONE, wanted=None, source=""), "No biofix is asked for"),
    ],
)
def test_each_state_of_a_flight_is_told_first(told: FlightLine, first: str):
    assert flight_sentences(told)[0].startswith(first)


def test_a_flight_that_is_not_met_says_how_far_it_is_and_one_not_known_what_would_meet_it():
    assert "1 of 3 moths so far." in flight_sentences(flight(State.NOT_MET))
    told = flight_sentences(flight(State.NOT_KNOWN, last="2026-05-18"))
    assert any("A catch on 2026-05-18 would meet the rule" in one for one in told)


def test_many_gaps_are_cut_short():
    spans = [DaySpan(first=f"2026-05-{day:02d}", last=f"2026-05-{day:02d}") for day in range(1, 12, 2)]
    assert spans_text(spans) == "2026-05-01, 2026-05-03, 2026-05-05, 2026-05-07, …"

"""The timing of a season as plain text, for a terminal, a message or a file. Layout only; words are in timing_words."""

from collections.abc import Iterable, Iterator

from shared_models.language import say
from shared_models.reference.published_events import Clock
from shared_models.timing.parts import ClockLine, GardenTiming, SeasonTiming
from shared_models.timing_words import (
    band_sentence,
    bloom_sentence,
    flight_sentences,
    frost_sentence,
    heat_sentence,
    overlap_sentence,
    sources_sentence,
    temperature_sentences,
)


def timing_as_text(timing: SeasonTiming) -> str:
    """All gardens, ending in a line break."""
    return (
        "\n".join([*_head(timing), *(line for one in timing.gardens for line in _garden(one, timing.day))])
        + "\n"
    )


def _head(timing: SeasonTiming) -> Iterator[str]:
    yield say("Timing of the season {season}, as known on {day}", season=timing.season, day=timing.day)
    yield say(
        "Days are counted from temperatures and published figures. They time a look at the trees and measure no damage."
    )
    if not timing.gardens:
        yield say("This season has no garden.")


def _garden(timing: GardenTiming, day: str) -> Iterator[str]:
    yield ""
    yield timing.name
    yield from _indented(temperature_sentences(timing, day))
    yield from _indented(flight_sentences(timing.flight))
    for clock in timing.clocks:
        yield from _indented(_clock(clock, timing, day))
    yield from _indented(map(bloom_sentence, timing.bloom))
    yield from _indented(map(overlap_sentence, timing.overlaps))
    yield from _indented(map(frost_sentence, timing.frost))


def clock_heading(clock: ClockLine) -> str:
    """From where a clock counts."""
    if clock.clock is Clock.BIOFIX:
        return say("Counted from biofix")
    return say("Counted from {day}, without traps", day=clock.first_start)


def _clock(clock: ClockLine, timing: GardenTiming, day: str) -> Iterator[str]:
    yield clock_heading(clock)
    yield "  " + heat_sentence(clock, timing)
    for event in clock.events:
        yield "  " + band_sentence(event, day)
        yield "    " + sources_sentence(event)


def _indented(lines: Iterable[str]) -> Iterator[str]:
    yield from (f"  {line}" for line in lines)

"""When, of one garden, as a screen shows it: every sentence from the words that the pages at the desk use too.

Offers `garden_page`. What is reckoned is `timing`'s, what labels ask for `label_clocks`'; nothing is decided here.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TypeVar

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.apart import Apart, apart
from mobile.workflows.label_clocks import labels_of_garden
from mobile.workflows.moments import today
from mobile.workflows.timing import garden_timings
from shared_models.chart_shapes import Drawing
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.timing import SeasonSetting
from shared_models.reference.published_events import Clock
from shared_models.seasons import season_named, season_of
from shared_models.timing.parts import ClockLine, EventBand, GardenTiming
from shared_models.timing_drawings import band_drawing
from shared_models.timing_text import clock_heading
from shared_models.timing_words import (
    Standing,
    band_sentence,
    bloom_sentence,
    flight_sentences,
    frost_sentence,
    heat_sentence,
    next_event,
    overlap_sentence,
    sources_sentence,
    standing,
    temperature_sentences,
)

T = TypeVar("T")


class About(StrEnum):
    """What a part is about."""

    FLIGHT = "flight"
    CLOCK = "clock"
    TEMPERATURES = "temperatures"
    BLOOM = "bloom"
    COLD = "cold"
    SPRAYS = "sprays"


@dataclass(frozen=True, slots=True)
class PageLine:
    """A sentence; of an event its sources, where it stands today, and whether all figures of it are from memory.

    `drawing` shows its band of days beside today; None where it lies too far off.
    """

    sentence: str
    sources: str = ""
    stands: Standing | None = None
    unchecked: bool = False
    drawing: Drawing | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a garden's timing with its heading."""

    about: About
    heading: str
    lines: tuple[PageLine, ...]


@dataclass(frozen=True, slots=True)
class GardenPage:
    """All that a screen shows of when, of one garden; `coming` is the next published event, "" where none is known.

    `apart` is what two people said of the garden or its settings without knowing of each other.
    """

    garden: str
    name: str
    as_known: str
    coming: str
    sections: tuple[Section, ...]
    apart: Apart


def garden_page(store: PhoneStore, garden: str, day: date | None = None) -> GardenPage:
    """The timing of a garden in its running season; BadInputError where it is not on this phone."""
    on = day or today(store)
    found = garden_timings(store, on).get(garden)
    if found is None:
        raise BadInputError(say("This garden is not on this phone."), "garden")
    event, told = next_event(found), on.isoformat()
    return GardenPage(
        garden=garden,
        name=found.name,
        as_known=say("As known on {day}", day=told),
        coming=say("Next: {event}", event=band_sentence(event, told)) if event else "",
        sections=tuple(one for one in _sections(store, found, on) if one.lines),
        apart=apart(store, {garden, *(one.rec for one in store.few.naming(SeasonSetting, [garden]))}),
    )


def _sections(store: PhoneStore, timing: GardenTiming, on: date) -> Iterable[Section]:
    """The clock that knows more comes first."""
    told, season = on.isoformat(), season_named(season_of(on, timing.hemisphere))
    yield Section(About.FLIGHT, say("Flight"), _plain(flight_sentences(timing.flight)))
    for clock in sorted(timing.clocks, key=lambda one: one.clock is not Clock.BIOFIX):
        yield Section(About.CLOCK, clock_heading(clock), _clock_lines(clock, timing, told))
    yield Section(About.TEMPERATURES, say("Temperatures"), _plain(temperature_sentences(timing, told)))
    yield Section(
        About.BLOOM,
        say("Bloom"),
        _plain([*_each(bloom_sentence, timing.bloom), *_each(overlap_sentence, timing.overlaps)]),
    )
    yield Section(About.COLD, say("Cold nights"), _plain(_each(frost_sentence, timing.frost)))
    labels = labels_of_garden(store, timing.garden, on, season.first_day)
    yield Section(About.SPRAYS, say("Sprays, by what was typed from their labels"), _plain(labels))


def _clock_lines(clock: ClockLine, timing: GardenTiming, day: str) -> tuple[PageLine, ...]:
    return (PageLine(heat_sentence(clock, timing)), *(_event_line(event, day) for event in clock.events))


def _event_line(event: EventBand, day: str) -> PageLine:
    return PageLine(
        sentence=band_sentence(event, day),
        sources=sources_sentence(event),
        stands=standing(event, day),
        unchecked=event.unchecked,
        drawing=band_drawing(event, day),
    )


def _plain(sentences: Iterable[str]) -> tuple[PageLine, ...]:
    return tuple(PageLine(sentence) for sentence in sentences)


def _each(say_one: Callable[[T], str], lines: Iterable[T]) -> list[str]:
    return [say_one(line) for line in lines]

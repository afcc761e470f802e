"""How a garden's timing is worked out, in words, and changing it: rule of biofix, method, thresholds, thermometer,
missing days.

Offers `how_page`, `change_timing` (for one garden or for all) and `take_back`; the words of each choice; `in_celsius`,
`in_unit` and `source_named`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import Enum, StrEnum
from typing import Any

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import season_or_ask, today
from mobile.workflows.timing import garden_timings, settings_now
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.calculations.forecast import FURTHEST
from shared_models.errors import BadInputError
from shared_models.fold import DELETED
from shared_models.language import capital, say, spoken, word
from shared_models.records.timing import SeasonSetting, setting_id
from shared_models.reference.published_events import Clock
from shared_models.seasons import season_named
from shared_models.timing.parts import GardenTiming
from shared_models.timing.readings import OWN
from shared_models.timing.settings import SaidBy, TimingSettings, said_by
from shared_models.timing_words import between, flight_sentences, reckoned_sentence, source_in_words
from shared_models.vocabulary import Fill

METHODS = {
    Method.SINGLE_SINE: word("Single sine: a curve through the day’s lowest and highest"),
    Method.DOUBLE_SINE: word("Double sine: the second half falls to the next day’s lowest"),
    Method.SINGLE_TRIANGLE: word("Single triangle: straight lines in place of the curve"),
    Method.DOUBLE_TRIANGLE: word("Double triangle: the second half falls to the next day’s lowest"),
    Method.AVERAGE: word("Average: the mean less the lower threshold, no upper threshold"),
    Method.AVERAGE_CLIPPED: word("Average, both readings moved between the thresholds first"),
    Method.AVERAGE_MEAN_CLIPPED: word("Average, the mean alone moved between the thresholds"),
    Method.AVERAGE_SIGNED: word("Average, cool days taken off"),
}
CUTOFFS = {
    Cutoff.HORIZONTAL: word("Horizontal: above the upper threshold it goes on at full rate"),
    Cutoff.INTERMEDIATE: word("Intermediate: above it, it slows down as much as it had sped up"),
    Cutoff.VERTICAL: word("Vertical: above it, it stops"),
}
FILLS = {
    Fill.NO: word("Nothing: the total is a least total"),
    Fill.INTERPOLATE: word("Short gaps between the days beside them"),
    Fill.SECOND_SOURCE: word("From a second source"),
    Fill.BOTH: word("From a second source, then short gaps"),
}
SAID_BY = {
    SaidBy.GARDEN: word("Chosen for this garden."),
    SaidBy.GROUP: word("Chosen for every garden of the group."),
    SaidBy.NOBODY: word("As usual; nobody chose."),
}


class Asked(StrEnum):
    """What can be chosen."""

    RULE = "rule"
    METHOD = "method"
    THRESHOLDS = "thresholds"
    SOURCE = "source"
    MISSING = "missing"


FIELDS = {
    Asked.RULE: ("rule", "moths", "biofix"),
    Asked.METHOD: ("method", "cutoff"),
    Asked.THRESHOLDS: ("lower_c", "upper_c"),
    Asked.SOURCE: ("source",),
    Asked.MISSING: ("fill", "second_source"),
}


@dataclass(frozen=True, slots=True)
class HowLine:
    """One thing that can be chosen, how it holds now, and whose choice that is."""

    asked: Asked
    question: str
    holds: str


@dataclass(frozen=True, slots=True)
class HowPage:
    """How a garden's timing is worked out. `several` gardens are kept.

    `told` are the sources that told temperatures this season (`OWN` is the garden's thermometer), `sources` those that
    may fill another's gaps.
    """

    garden: str
    name: str
    season: str
    day: date
    several: bool
    lines: tuple[HowLine, ...]
    missing: tuple[str, ...]
    explained: tuple[str, ...]
    now: TimingSettings
    told: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TimingChanged:
    """What was chosen: a sentence with what seems not to fit, and the fields as they were, to take it back."""

    sentence: str
    before: tuple[tuple[str, dict[str, Any]], ...]


def how_page(store: PhoneStore, garden: str) -> HowPage:
    """How the running season of a garden is worked out; BadInputError where the garden is not on this phone."""
    timing = garden_timings(store).get(garden)
    if timing is None:
        raise BadInputError(say("This garden is not on this phone."), "garden")
    season = season_or_ask(store, garden, None, None)
    told = {one.origin for one in store.few.timing_ground(season).readings.get(garden, ())}
    return HowPage(
        garden=garden,
        name=timing.name,
        season=season,
        day=today(store),
        several=len(gardens(store)) > 1,
        lines=tuple(_lines(store, timing, season)),
        missing=tuple(_missing(timing)),
        explained=tuple(_explained()),
        now=settings_now(store, garden),
        told=tuple(sorted(told)),
        sources=_may_fill(told),
    )


def change_timing(
    store: PhoneStore, garden: str, asked: Asked, everywhere: bool, **chosen: Any
) -> TimingChanged:
    """Choose for one garden, or for every garden of the group; a garden that follows the group says nothing itself."""
    season = season_or_ask(store, garden, None, None)
    own, group = setting_id(garden, season), setting_id(None, season)
    silent = dict.fromkeys(FIELDS[asked])
    told = {name: value.value if isinstance(value, Enum) else value for name, value in chosen.items()}
    drafts = [_draft(own, garden, season, silent if everywhere else silent | told)]
    if everywhere:
        drafts.append(_draft(group, None, season, silent | told))
    before = tuple((rec, _as_it_was(store, rec, asked)) for rec in (own, group))
    store.record_all(drafts)
    made = store.get(SeasonSetting, group if everywhere else own)
    doubts = [doubt.sentence for doubt in made.doubts()] if made else []
    sentence = say("Chosen for every garden.") if everywhere else say("Chosen for this garden.")
    return TimingChanged(" ".join([sentence, *doubts]), before)


def take_back(store: PhoneStore, changed: TimingChanged) -> None:
    """Let everything be chosen as it was before."""
    known = [(rec, fields) for rec, fields in changed.before if store.get(SeasonSetting, rec)]
    store.record_all([Draft(SeasonSetting.kind, fields, rec) for rec, fields in known])


def in_celsius(degrees: float, unit: str) -> float:
    """A temperature in °C, rounded to a hundredth.

    >>> in_celsius(88, "F"), in_celsius(10.0, "C")
    (31.11, 10.0)
    """
    return round((degrees - 32) / 1.8 if unit == "F" else degrees, 2)


def _draft(rec: str, garden: str | None, season: str, fields: dict[str, Any]) -> Draft:
    whose = {"garden": garden} if garden else {}
    return Draft(SeasonSetting.kind, {**whose, "season": season, **fields, DELETED: False}, rec)


def _as_it_was(store: PhoneStore, rec: str, asked: Asked) -> dict[str, Any]:
    found = store.get(SeasonSetting, rec)
    said = found.model_dump(mode="json") if found else {}
    return {name: said.get(name) for name in FIELDS[asked]}


def in_unit(celsius: float, unit: str) -> float:
    """A temperature in °C or °F, rounded to a tenth.

    >>> in_unit(31.1, "F"), in_unit(10.0, "C")
    (88.0, 10.0)
    """
    return round(celsius * 1.8 + 32 if unit == "F" else celsius, 1)


def source_named(source: str) -> str:
    """A source of temperatures at the beginning of a line; the name of an imported one stays as it is written."""
    return source or capital(source_in_words(source))


def _may_fill(origins: set[str]) -> tuple[str, ...]:
    """The imported ones by name; none where there is no other source that could have a gap."""
    return tuple(sorted(origins - {OWN})) if len(origins) > 1 else ()


# ---------------------------------------------------------------- words
def _lines(store: PhoneStore, timing: GardenTiming, season: str) -> Iterator[HowLine]:
    settings, now = store.all(SeasonSetting), settings_now(store, timing.garden, season)
    held = {
        Asked.RULE: (say("When the flight begins"), flight_sentences(timing.flight)[1]),
        Asked.METHOD: (say("How warmth is counted"), spoken(METHODS[now.reckoning.method])),
        Asked.THRESHOLDS: (
            say("Between which temperatures"),
            capital(f"{reckoned_sentence(timing.reckoned)}."),
        ),
        Asked.SOURCE: (
            say("Which thermometer goes first"),
            source_named(now.sources.first or OWN),
        ),
        Asked.MISSING: (say("What fills a missing day"), spoken(FILLS[now.sources.fill])),
    }
    for asked, (question, holds) in held.items():
        whose = said_by(settings, timing.garden, season_named(season), FIELDS[asked])
        yield HowLine(asked, question, f"{holds.rstrip('.')}. {spoken(SAID_BY[whose])}")


def _missing(timing: GardenTiming) -> Iterator[str]:
    """Every missing day, however many there are."""
    clock = timing.clock(Clock.SEASON)
    if clock and clock.missing:
        yield say("A day without both temperatures is missing, never 0. Missing this season:")
        yield ", ".join(between(one.first, one.last) for one in clock.missing)
    if clock and clock.filled:
        yield say("Filled, not measured:")
        yield ", ".join(between(one.first, one.last) for one in clock.filled)


def _explained() -> Iterator[str]:
    yield say(
        "Days are counted from temperatures and published figures. They time a look at the trees and measure no damage."
    )
    yield say(
        "A day’s warmth between the thresholds is guessed from its lowest and highest temperature, and summed from a start "
        "day on."
    )
    yield say(
        "Where traps say the start, it is an interval, since nobody looks at them every day: from the last count that did not "
        "meet the rule to the first that did. Every band of days is as much wider."
    )
    yield say(
        "A band has two ends, since published totals differ. Days ahead come from the garden’s own earlier years, else from "
        "the pace of the last fortnight, which says nothing beyond {days} days.",
        days=FURTHEST,
    )
    yield say("A figure quoted from memory is called unchecked and never moves a band of published ones.")
    yield say("The count from the season’s first day, without traps, is always shown beside.")

"""When: degree-days, biofix and what comes next in each garden, from what this phone holds; and how it is reckoned.

Offers `season_timing_of`, `timing_text`, `garden_timings` (each garden in its running season), `heat_lines` (one line a
garden for Today), `rule_choices`, `settings_now`, `set_timing` and `set_timing_of_group`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import season_or_ask, today
from shared_models.calculations.biofix import Rule
from shared_models.errors import BadInputError
from shared_models.fold import DELETED
from shared_models.language import say, spoken
from shared_models.records.fields import Doubt
from shared_models.records.timing import SeasonSetting, setting_id
from shared_models.reference.published_events import Clock
from shared_models.seasons import is_season_key, season_named, season_of
from shared_models.timing.garden_timing import rule_source, season_timing
from shared_models.timing.parts import ClockLine, GardenTiming, SeasonTiming
from shared_models.timing.settings import TimingSettings, settings_of
from shared_models.timing_text import timing_as_text
from shared_models.timing_words import (
    RULES,
    band_sentence,
    flight_sentences,
    heat_sentence,
    next_event,
    temperature_sentences,
)


@dataclass(frozen=True, slots=True)
class HeatLine:
    """One garden on Today: heat so far, the next published event with its band, and why it says so."""

    garden: str
    sentence: str
    reason: str


def season_timing_of(store: PhoneStore, key: str, day: date | None = None) -> SeasonTiming:
    """The timing of all gardens of a season as known on a day (today); BadInputError where a text names no season."""
    if not is_season_key(key):
        raise BadInputError(
            say("“{key}” names no season; write 2026 in the north or 2026/27 in the south.", key=key[:20]),
            "season",
        )
    return season_timing(store.few.timing_ground(key), day or today(store))


def timing_text(store: PhoneStore, key: str, day: date | None = None) -> str:
    """The same as plain text."""
    return timing_as_text(season_timing_of(store, key, day))


def garden_timings(store: PhoneStore, day: date | None = None) -> dict[str, GardenTiming]:
    """The timing of each garden in the season that runs there on a day (today), by garden."""
    on = day or today(store)
    keys = {season_of(on, garden.hemisphere) for garden in gardens(store)}
    found = [one for key in sorted(keys) for one in season_timing_of(store, key, on).gardens]
    return {one.garden: one for one in found}


def heat_lines(timings: dict[str, GardenTiming], on: date) -> Iterator[HeatLine]:
    """One line for each garden; of one without temperatures, what is missing."""
    for one in timings.values():
        clock = one.clock(Clock.BIOFIX) or one.clock(Clock.SEASON)
        yield HeatLine(one.garden, *(_told(one, clock, on) if clock else _not_told(one, on)))


def _told(one: GardenTiming, clock: ClockLine, on: date) -> tuple[str, str]:
    event = next_event(one)
    coming = band_sentence(event, on.isoformat()) if event else say("No published event lies ahead.")
    sentence = say("{garden}: {next}", garden=one.name, next=coming)
    return sentence, f"{heat_sentence(clock, one)} {flight_sentences(one.flight)[0]}"


def _not_told(one: GardenTiming, on: date) -> tuple[str, str]:
    sentence = say("{garden}: what comes next is not known.", garden=one.name)
    return sentence, " ".join(temperature_sentences(one, on.isoformat()))


@dataclass(frozen=True, slots=True)
class RuleChoice:
    """A rule of biofix to choose: what it asks for, and where it was published ("" for a day by hand and for none)."""

    rule: Rule
    asks: str
    source: str


def rule_choices() -> list[RuleChoice]:
    """The rules of biofix, each with its source."""
    return [RuleChoice(rule, spoken(asks), rule_source(rule)) for rule, asks in RULES.items()]


def settings_now(store: PhoneStore, garden: str, season: str | None = None) -> TimingSettings:
    """How a garden's season (the running one) is reckoned, by its own settings, its group's, or as usual."""
    key = season_or_ask(store, garden, None, season)
    return settings_of(store.all(SeasonSetting), garden, season_named(key))


def set_timing(store: PhoneStore, garden: str, season: str | None = None, **chosen: Any) -> tuple[Doubt, ...]:
    """Set how a garden's season is reckoned: any field of `SeasonSetting`; what is not given stays as it is."""
    key = season_or_ask(store, garden, None, season)
    return _record(store, garden, key, said(garden=garden, season=key, **chosen))


def set_timing_of_group(store: PhoneStore, season: str, **chosen: Any) -> tuple[Doubt, ...]:
    """The same for every garden of the group, from a season on; what a garden says itself goes before it."""
    return _record(store, None, season, said(season=season, **chosen))


def _record(store: PhoneStore, garden: str | None, season: str, fields: dict[str, Any]) -> tuple[Doubt, ...]:
    rec = setting_id(garden, season)
    store.record(SeasonSetting.kind, {**fields, DELETED: False}, rec)  # it may have been taken back
    made = store.get(SeasonSetting, rec)
    return tuple(made.doubts()) if made else ()

"""In the evening: the day's lowest and highest temperature typed in either unit, and degree-days since a day.

Offers `day_offered`, `note_day`, `total_since` and `total_in_words`, which always names method, thresholds, start and missing days.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import on_day, today
from mobile.workflows.spoken_moments import day_in_words
from mobile.workflows.usual_garden import usual_garden
from shared_models.calculations.degree_days import in_fahrenheit_days
from shared_models.calculations.heat_sums import USUAL, HeatSum, Reckoning, heat_sum
from shared_models.errors import BadInputError
from shared_models.language import say, say_many
from shared_models.records.fields import Doubt
from shared_models.records.gardens import Garden
from shared_models.records.jobs import DayTemperature
from shared_models.timing.temperatures import USUAL_SOURCES, Sources, garden_temperatures


@dataclass(frozen=True, slots=True)
class DayNoted:
    """A day's temperatures that were recorded, and what seems not to fit."""

    record: str
    doubts: tuple[Doubt, ...]


def note_day(
    store: PhoneStore,
    garden: str,
    day: date,
    lowest: float,
    highest: float,
    unit: Literal["C", "F"],
    *,
    habit: Literal["morning", "evening", "midnight"] | None = None,
    dusk: float | None = None,
) -> DayNoted:
    """Record a day; BadInputError where the lowest lies above the highest, and nothing is recorded then."""
    if lowest > highest:
        raise BadInputError(
            say("The lowest temperature is above the highest; nothing was recorded. Correct one of them."),
            "lowest",
        )
    when = on_day(store, day)
    fields = said(garden=garden, when=when, lowest=lowest, highest=highest, unit=unit, habit=habit, dusk=dusk)
    record = store.record(DayTemperature.kind, fields)
    made = store.get(DayTemperature, record)
    return DayNoted(record, tuple(made.doubts()) if made else ())


@dataclass(frozen=True, slots=True)
class DayOffered:
    """What is offered for the next day to type: unit and reading habit as last time, and what is there already.

    `day` is the first after the last day that was typed, never one that is still to come.
    """

    garden: str | None
    gardens: tuple[Garden, ...]
    day: date
    unit: Literal["C", "F"]
    habit: Literal["morning", "evening", "midnight"] | None
    there: tuple[str, ...]


def day_offered(store: PhoneStore, garden: str | None = None, most: int = 5) -> DayOffered:
    """For a garden, the usual one where none is named."""
    known = tuple(gardens(store))
    here = garden or usual_garden(store, store.all(DayTemperature))
    typed = [one for one in store.all(DayTemperature) if one.garden == here and one.moment.day]
    newest = sorted(typed, key=lambda one: (one.when, one.rec), reverse=True)
    last = newest[0] if newest else None
    following = last.moment.day + timedelta(days=1) if last and last.moment.day else today(store)
    return DayOffered(
        here,
        known,
        min(following, today(store)),
        last.unit if last else "C",
        last.habit if last else None,
        tuple(_day_in_words(one) for one in newest[:most]),
    )


def day_noted(day: date, lowest: float, highest: float, unit: str) -> str:
    """A day's temperatures in a sentence."""
    return say(
        "{day}: {lowest} to {highest} °{unit}.",
        day=day_in_words(day),
        lowest=f"{lowest:g}",
        highest=f"{highest:g}",
        unit=unit,
    )


def _day_in_words(one: DayTemperature) -> str:
    return day_noted(one.moment.day or date.min, one.lowest, one.highest, one.unit)


def total_since(
    store: PhoneStore,
    garden: str,
    first: date,
    last: date,
    *,
    sources: Sources = USUAL_SOURCES,
    reckoning: Reckoning = USUAL,
) -> HeatSum:
    """Degree-days of a garden over a span of days [°C·day], from what this phone holds."""
    named = store.few.naming(DayTemperature, [garden])
    found = garden_temperatures((one for one in named if one.garden == garden), sources)
    return heat_sum(found.days, first, last, reckoning)


def total_in_words(total: HeatSum, reckoning: Reckoning = USUAL) -> str:
    """The total with everything that it depends on; never without its method, thresholds and start."""
    sentence = say(
        "{celsius} °C-days ({fahrenheit} °F-days) from {first} to {last}; {method}, {cutoff} cutoff, "
        "thresholds {lower} and {upper} °C.",
        celsius=f"{total.total:.1f}",
        fahrenheit=f"{in_fahrenheit_days(total.total):.1f}",
        first=day_in_words(total.first),
        last=day_in_words(total.last),
        method=reckoning.method,
        cutoff=reckoning.cutoff,
        lower=f"{reckoning.lower:g}",
        upper=f"{reckoning.upper:g}",
    )
    return sentence if total.complete else f"{sentence} {_missing_in_words(total)}"


def _missing_in_words(total: HeatSum) -> str:
    return say_many(
        "Incomplete: {count} day is missing ({days}), so this is a least total.",
        "Incomplete: {count} days are missing ({days}), so this is a least total.",
        len(total.missing),
        days=", ".join(day_in_words(day) for day in total.missing),
    )

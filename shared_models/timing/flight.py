"""The flight in a garden: when it began by the rule that holds, and which visits made it. Knows no words and no clock.

A count made at a trap that served the garden on its day is a look; a double count of the same moths is none.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from shared_models.calculations.biofix import Biofix, Evening, Look, Rule, State, biofix, evening_of
from shared_models.calculations.heat_sums import Filled
from shared_models.season.catches import TrapCatch
from shared_models.timing.settings import TimingSettings
from shared_models.timing.temperatures import GardenTemperatures
from shared_models.vocabulary import TrapState
from shared_models.when import parse_when

WITH_TRAPS, WITHOUT = (
    Rule.TOTAL,
    Rule.NONE,
)  # where nobody chose: the rule that needs no temperature at sunset


def looks_of(traps: Sequence[TrapCatch], until: date) -> list[Look]:
    """The counts of these traps up to a day, as looks."""
    return [
        Look(
            one.visit,
            trap.trap,
            one.day,
            one.catch,
            None if one.days is None else one.day - timedelta(one.days),
        )
        for trap in traps
        for one in trap.visits
        if one.day and one.day <= until and one.state == TrapState.COUNTED and one.double_of is None
    ]


def rule_in_force(settings: TimingSettings, has_traps: bool) -> Rule:
    """The rule that was chosen, else the one for a garden with or without traps."""
    return settings.rule or (WITH_TRAPS if has_traps else WITHOUT)


def beginning_of_flight(
    traps: Sequence[TrapCatch],
    rule: Rule,
    temperatures: GardenTemperatures,
    settings: TimingSettings,
    today: date,
) -> Biofix:
    """When the flight began in a garden, by the rule that holds there."""
    if rule is Rule.BY_HAND:
        return _by_hand(settings.biofix, today)
    if rule is Rule.NONE:
        return Biofix(rule, State.NO_TRAP)
    looks = looks_of(traps, today)
    found = biofix(rule, looks, _evenings(looks, temperatures), today, settings.moths)
    return found if looks or not traps else replace(found, state=State.NOT_KNOWN)


def _by_hand(told: str | None, today: date) -> Biofix:
    moment = parse_when(told) if told else None
    if moment is None or moment.first is None or moment.last is None or moment.first > today:
        return Biofix(Rule.BY_HAND, State.NOT_MET)
    return Biofix(Rule.BY_HAND, State.MET, moment.first, min(moment.last, today))


def _evenings(looks: Sequence[Look], temperatures: GardenTemperatures) -> Mapping[date, Evening]:
    """Whether the evenings from a week before the first look to the last one were warm enough."""
    if not looks:
        return {}
    first = min(look.day for look in looks) - timedelta(7)
    days = (max(look.day for look in looks) - first).days
    return {day: _evening(day, temperatures) for day in (first + timedelta(n) for n in range(days + 1))}


def _evening(day: date, temperatures: GardenTemperatures) -> Evening:
    read = temperatures.days.get(day)
    if read is None or read.filled is not Filled.MEASURED:
        return evening_of(temperatures.dusk.get(day), None, None)
    return evening_of(temperatures.dusk.get(day), read.minimum, read.maximum)

"""From a season's records and the temperatures of all years to what can be said of when. No words, no clock.

"Clocks that start on different days are never mixed": an event is looked for on its own clock only. A beginning of
the flight that is known as an interval makes every band as much wider.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from shared_models.calculations.biofix import Biofix, Rule, State
from shared_models.calculations.forecast import DayBand, project
from shared_models.calculations.heat_line import HeatLine
from shared_models.calculations.heat_sums import Filled, days_of, heat_by_day
from shared_models.garbage import making_many
from shared_models.records.gardens import Garden
from shared_models.records.timing import SeasonSetting, Stage
from shared_models.records.traps import Trap
from shared_models.reference.published_events import Clock, Event, Figure, published_events
from shared_models.reference.reading import Mark, rows_of
from shared_models.season.catches import TrapCatch
from shared_models.season.rounding import edge
from shared_models.timing.bloom import bloom_lines, frost_lines, overlaps, stages_seen
from shared_models.timing.flight import beginning_of_flight, rule_in_force
from shared_models.timing.ground import TimingGround, first_day_needed
from shared_models.timing.parts import (
    ClashLine,
    ClockLine,
    DaySpan,
    EventBand,
    FigureLine,
    FlightLine,
    GardenTiming,
    ReckonedBy,
    SeasonTiming,
    SourceLine,
    VisitMade,
)
from shared_models.timing.settings import TimingSettings, settings_of
from shared_models.timing.temperatures import GardenTemperatures, temperatures_of


@making_many()
def season_timing(ground: TimingGround, day: date) -> SeasonTiming:
    """The timing of every garden of the season's half of the earth, by name, as it is known on a day."""
    gardens = sorted(ground.orchard.gardens.values(), key=lambda garden: (garden.name, garden.rec))
    return SeasonTiming(
        season=ground.season.season.key,
        day=day.isoformat(),
        gardens=[GardenInSeason(ground, garden, day).timing() for garden in gardens if not garden.retired],
    )


class GardenInSeason:
    """One garden in one season, up to a day; every method makes one part."""

    def __init__(self, ground: TimingGround, garden: Garden, day: date) -> None:
        self.records, self.season = ground.season, ground.season.season
        self.orchard, self.garden = ground.orchard, garden
        self.traps = [trap for trap in ground.catches if trap.garden == garden.rec]
        self.day = min(day, self.season.last_day)
        self.settings: TimingSettings = settings_of(self.records.all(SeasonSetting), garden.rec, self.season)
        first = first_day_needed(self.season)
        readings = [one for one in ground.readings.get(garden.rec, ()) if first <= one.day <= self.day]
        self.temperatures: GardenTemperatures = temperatures_of(readings, self.settings.sources)
        self.heat = heat_by_day(self.temperatures.days, self.settings.reckoning)
        self.line = HeatLine(self.heat)
        self.until = max((day for day in self.heat if self.season.first_day <= day <= self.day), default=None)

    def timing(self) -> GardenTiming:
        rule = rule_in_force(self.settings, self._has_traps())
        flight = beginning_of_flight(self.traps, rule, self.temperatures, self.settings, self.day)
        seen = stages_seen(self.records.all(Stage), self.orchard, self.garden.rec, self.day)
        bloom, first, here = bloom_lines(seen), self.season.first_day, self.temperatures
        return GardenTiming(
            garden=self.garden.rec,
            name=self.garden.name,
            hemisphere=self.season.hemisphere,
            until=self.until.isoformat() if self.until else None,
            reckoned=self._reckoned(),
            sources=[
                SourceLine(source=one.source, first=str(one.first), last=str(one.last))
                for one in here.spans(first, self.day)
            ],
            clashes=self._clashes(),
            unusable=len(here.unusable),
            flight=self._flight(flight),
            clocks=list(self._clocks(flight)),
            bloom=bloom,
            overlaps=overlaps(bloom),
            frost=frost_lines(seen, here, first, self.day),
        )

    def warmth(self, days: int) -> float | None:
        """The mean of the highest temperatures of the last so many days [°C]; None where one of them is missing."""
        last = [self.temperatures.days.get(self.day - timedelta(back)) for back in range(1, days + 1)]
        known = [one.maximum for one in last if one is not None]
        return sum(known) / days if len(known) == days else None

    def reaches(self, total: float) -> DayBand | None:
        """The days between which the season's total [°C·day] is reached; None where that cannot be said."""
        first = self.season.first_day
        return project(self.line, first, first, total, total, self.until).band if self.until else None

    # -- what is known
    def _has_traps(self) -> bool:
        """Whether traps were looked at, or hang and wait for that."""
        here = (trap for trap in self.records.all(Trap) if trap.garden == self.garden.rec)
        return bool(self.traps) or any(not trap.retired for trap in here)

    def _reckoned(self) -> ReckonedBy:
        by = self.settings.reckoning
        return ReckonedBy(method=by.method, cutoff=by.cutoff, lower=by.lower, upper=by.upper)

    def _clashes(self) -> list[ClashLine]:
        return [
            ClashLine(
                day=str(one.day),
                lows=[edge(low) for low in one.lows],
                highs=[edge(high) for high in one.highs],
            )
            for one in self.temperatures.clashes
            if self.season.holds(one.day)
        ]

    def _flight(self, found: Biofix) -> FlightLine:
        counts = found.rule in (Rule.TOTAL, Rule.MEAN)
        return FlightLine(
            rule=found.rule,
            chosen=self.settings.rule is not None,
            source=rule_source(found.rule),
            state=found.state,
            first=found.first.isoformat() if found.first else None,
            last=found.last.isoformat() if found.last else None,
            moths=edge(found.moths),
            wanted=edge(self.settings.moths) if counts else None,
            visits=_visits_made(found.made_by, self.traps),
            cool=[str(day) for day in found.cool],
            dusk_missing=[str(day) for day in found.dusk_missing],
            seen_until=found.seen_until.isoformat() if found.seen_until else None,
        )

    # -- what comes
    def _clocks(self, flight: Biofix) -> Iterable[ClockLine]:
        if self.until is None:
            return
        yield self._clock(Clock.SEASON, self.season.first_day, self.season.first_day, self.until)
        if flight.state is State.MET and flight.first and flight.last:
            yield self._clock(Clock.BIOFIX, flight.first, flight.last, self.until)

    def _clock(self, clock: Clock, first: date, last: date, until: date) -> ClockLine:
        span = days_of(first, until)
        missing = [day for day in span if day not in self.heat]
        filled = [day for day in span if day in self.heat and _is_filled(day, self.temperatures)]
        events = [event for event in published_events() if event.clock is clock]
        return ClockLine(
            clock=clock,
            first_start=first.isoformat(),
            last_start=last.isoformat(),
            low=edge(self.line.sum(last, until)),
            high=edge(self.line.sum(first, until)),
            missing=spans_of(missing),
            missing_days=len(missing),
            filled=spans_of(filled),
            events=[self._event(event, first, last, until) for event in events],
        )

    def _event(self, event: Event, first: date, last: date, until: date) -> EventBand:
        told: Sequence[Figure] = event.published or event.unchecked
        low, high = min(figure.low for figure in told), max(figure.high for figure in told)
        found = project(self.line, first, last, low, high, until)
        return EventBand(
            key=event.key,
            low=edge(low),
            high=edge(high),
            earliest=found.band.earliest.isoformat() if found.band else None,
            latest=found.band.latest.isoformat() if found.band and found.band.latest else None,
            basis=found.basis,
            years=list(found.years),
            unchecked=not event.published,
            figures=[
                FigureLine(
                    low=edge(one.low),
                    high=edge(one.high),
                    source=one.source,
                    unchecked=one.mark is Mark.MEMORY,
                )
                for one in event.figures
            ],
        )


def rule_source(rule: Rule) -> str:
    """Where a rule of biofix was published; "" for a day set by hand and for none."""
    return next((row["source"] for row in rows_of("trap_rules") if row["key"] == rule.value), "")


def spans_of(days: Iterable[date]) -> list[DaySpan]:
    """Days in order as spans of days in a row."""
    spans: list[tuple[date, date]] = []
    for day in days:
        if spans and (day - spans[-1][1]).days == 1:
            spans[-1] = (spans[-1][0], day)
        else:
            spans.append((day, day))
    return [DaySpan(first=first.isoformat(), last=last.isoformat()) for first, last in spans]


def _is_filled(day: date, temperatures: GardenTemperatures) -> bool:
    return temperatures.days[day].filled is not Filled.MEASURED


def _visits_made(made_by: Iterable[str], traps: Sequence[TrapCatch]) -> list[VisitMade]:
    known: Mapping[str, VisitMade] = {
        one.visit: VisitMade(visit=one.visit, trap=trap.label, day=str(one.day), catch=one.catch)
        for trap in traps
        for one in trap.visits
    }
    return [known[visit] for visit in made_by]

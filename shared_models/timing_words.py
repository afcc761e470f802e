"""The words of when: events, rules, totals, bands and their reasons, as whole sentences. Knows no layout.

Nothing here says *safe* or *over*; a total never stands without its method, thresholds and start.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum

from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.degree_days import in_fahrenheit_days
from shared_models.calculations.forecast import Basis
from shared_models.language import say, say_many, spoken, word
from shared_models.reference.published_events import Clock
from shared_models.timing.parts import (
    BloomLine,
    ClockLine,
    DaySpan,
    EventBand,
    FlightLine,
    FrostLine,
    GardenTiming,
    OverlapLine,
    ReckonedBy,
)

EVENTS = {
    "first_moths": word("first moths"),
    "first_eggs": word("first eggs"),
    "first_hatch": word("first egg hatch"),
    "much_hatch": word("most eggs of the first generation hatch"),
    "second_flight": word("second flight begins"),
    "second_eggs": word("first eggs of the second generation"),
    "second_hatch": word("first egg hatch of the second generation"),
    "third_hatch": word("first egg hatch of the third generation"),
}
RULES = {
    Rule.IN_A_ROW: word("first of three days in a row with catch, and 16.7 °C (62 °F) at sunset"),
    Rule.TOTAL: word("enough moths in all traps together, never the first alone"),
    Rule.MEAN: word("enough moths a trap on average"),
    Rule.BY_HAND: word("a day set by hand"),
    Rule.NONE: word("no trap: counted from the season's first day alone"),
}
CROPS = {"apple": word("apple"), "pear": word("pear")}
MOST_SPANS = 4  # so many gaps are named one by one


def event_name(event: EventBand) -> str:
    """What an event is called."""
    return spoken(EVENTS[event.key]) if event.key in EVENTS else event.key


def reckoned_sentence(by: ReckonedBy) -> str:
    """Method, cutoff and thresholds."""
    return say(
        "{method}, {cutoff} cutoff, thresholds {lower} and {upper} °C",
        method=by.method.value,
        cutoff=by.cutoff.value,
        lower=f"{by.lower:g}",
        upper=f"{by.upper:g}",
    )


def heat_sentence(clock: ClockLine, timing: GardenTiming) -> str:
    """A total with its start, its last day, how it was reckoned, and what is missing in it."""
    total = say(
        "{celsius} °C-days ({fahrenheit} °F-days) from {start} to {until}; {reckoned}.",
        celsius=_range(clock.low, clock.high),
        fahrenheit=_range(in_fahrenheit_days(clock.low), in_fahrenheit_days(clock.high)),
        start=_start(clock),
        until=timing.until or "",
        reckoned=reckoned_sentence(timing.reckoned),
    )
    return " ".join([total, *_gaps(clock)])


class Standing(StrEnum):
    """Where an event stands on a day."""

    REACHED = "reached"
    NOW = "now"
    NO_END = "no_end"
    AHEAD = "ahead"
    NOT_KNOWN = "not_known"  # too far ahead, or too little is known


def standing(event: EventBand, day: str) -> Standing:
    """Where an event stands on a day."""
    if event.earliest is None:
        return Standing.NOT_KNOWN
    if event.basis is Basis.REACHED:
        return Standing.REACHED
    if event.latest is None:
        return Standing.NO_END
    return Standing.NOW if event.earliest <= day else Standing.AHEAD


def band_sentence(event: EventBand, day: str) -> str:
    """When an event comes, between which days, and what that rests on."""
    what, stands = (
        say("{event} ({total})", event=event_name(event), total=_totals(event)),
        standing(event, day),
    )
    if stands is Standing.NOT_KNOWN:
        return say("{what}: too far ahead, or too little is known, to name days.", what=what)
    if stands is Standing.REACHED:
        sentence = say("{what}: reached {days}.", what=what, days=days_between(event))
    elif stands is Standing.NO_END:
        sentence = say("{what}: not before {day}; no end can be named.", what=what, day=event.earliest)
    elif stands is Standing.NOW:
        sentence = say("{what}: about now, {days}.", what=what, days=days_between(event))
    else:
        sentence = say("{what}: expected {days}.", what=what, days=days_between(event))
    return " ".join([sentence, *_basis(event)])


def sources_sentence(event: EventBand) -> str:
    """Who says so, and what is quoted from memory beside it."""
    told = [f"{one.source} ({_total(one.low, one.high)})" for one in event.figures if not one.unchecked]
    memory = [one for one in event.figures if one.unchecked]
    sentences = [say("Published: {sources}.", sources="; ".join(told))] if told else []
    if memory:
        sentences.append(
            say(
                "Unchecked, quoted from memory: {total}; {sources}.",
                total=_total(min(one.low for one in memory), max(one.high for one in memory)),
                sources="; ".join(dict.fromkeys(one.source for one in memory)),
            )
        )
    return " ".join(sentences)


def next_event(timing: GardenTiming) -> EventBand | None:
    """The published event that comes next on the clock that knows more: from biofix where it runs, else the season's."""
    clock = timing.clock(Clock.BIOFIX) or timing.clock(Clock.SEASON)
    ahead = [one for one in (clock.events if clock else []) if not one.unchecked and _is_ahead(one)]
    return min(ahead, key=lambda one: (one.earliest or "9999", one.low), default=None)


def _is_ahead(event: EventBand) -> bool:
    return event.basis is not Basis.REACHED


# ---------------------------------------------------------------- the flight
def flight_sentences(flight: FlightLine) -> list[str]:
    """What can be said of the beginning of the flight, by which rule, made by which visits, or what is missing."""
    return [_flight_state(flight), _flight_rule(flight), *_made_by(flight), *_missing(flight)]


def _flight_state(flight: FlightLine) -> str:
    if flight.rule is Rule.NONE:
        return say("No biofix is asked for: totals run from the season's first day.")
    if flight.state is State.MET:
        return say("Biofix: {days}.", days=between(flight.first, flight.last))
    if flight.state is State.NO_TRAP:
        return say("Biofix: not known, no trap was counted in this garden.")
    if flight.state is State.NOT_KNOWN:
        return say(
            "Biofix: not known; nobody looked for more than a week, or an evening's warmth is missing."
        )
    if flight.rule is Rule.BY_HAND:
        return say("Biofix: to be set by hand, and no day is set yet.")
    return say("Biofix: not met up to {day}.", day=flight.seen_until or "")


def _flight_rule(flight: FlightLine) -> str:
    rule = spoken(RULES[flight.rule])
    if flight.wanted is not None:
        rule = say("{rule} ({wanted} moths)", rule=rule, wanted=f"{flight.wanted:g}")
    told = (
        say("Rule: {rule}.", rule=rule)
        if flight.chosen
        else say("Rule, since none was chosen: {rule}.", rule=rule)
    )
    return f"{told} {say('Source: {source}.', source=flight.source)}" if flight.source else told


def _made_by(flight: FlightLine) -> list[str]:
    if not flight.visits:
        return []
    visits = ", ".join(
        say("trap {trap} on {day}: {catch}", trap=one.trap, day=one.day, catch=one.catch)
        for one in flight.visits
    )
    return [say("Made by {visits}.", visits=visits)]


def _missing(flight: FlightLine) -> list[str]:
    found = []
    if flight.wanted is not None and flight.state is State.NOT_MET:
        found.append(
            say("{moths} of {wanted} moths so far.", moths=f"{flight.moths:g}", wanted=f"{flight.wanted:g}")
        )
    if flight.state is State.NOT_KNOWN and flight.last:
        found.append(
            say(
                "A catch on {last} would meet the rule, but when moths began to fly before it is not known.",
                last=flight.last,
            )
        )
    if flight.cool:
        found.append(say("Too cool at sunset: {days}.", days=", ".join(flight.cool)))
    if flight.dusk_missing:
        found.append(
            say("The temperature at sunset is missing: {days}.", days=", ".join(flight.dusk_missing))
        )
    return found


# ---------------------------------------------------------------- bloom and frost
def bloom_sentence(line: BloomLine) -> str:
    """When a cultivar flowered."""
    return say(
        "{name}: first flowers {first}, full bloom {full}, petals fall {fall}.",
        name=line.name or say("whole garden"),
        first=line.first or "–",
        full=line.full or "–",
        fall=line.petal_fall or "–",
    )


def overlap_sentence(line: OverlapLine) -> str:
    """For how long two cultivars flowered together."""
    if line.days is None:
        return say("{a} and {b}: not known, an end of bloom was not noted.", a=line.a, b=line.b)
    return say_many(
        "{a} and {b}: {count} day in flower together.",
        "{a} and {b}: {count} days in flower together.",
        line.days,
        a=line.a,
        b=line.b,
    )


def frost_sentence(line: FrostLine) -> str:
    """A cold night beside the published figures; information, no advice."""
    return say(
        "Night of {night}: {lowest} °C; {crop} at {stage} (BBCH {bbch}, noted {noted}). Half an hour of {tenth} °C kills "
        "a tenth of the buds, of {most} °C nine tenths ({source}).",
        night=line.night,
        lowest=f"{line.lowest:.1f}",
        crop=spoken(CROPS.get(line.crop, line.crop)),
        stage=line.stage,
        bbch=line.bbch,
        noted=line.noted,
        tenth=f"{line.kills_10:g}",
        most=f"{line.kills_90:g}",
        source=line.source,
    )


# ---------------------------------------------------------------- temperatures
def temperature_sentences(timing: GardenTiming, day: str) -> list[str]:
    """Where temperatures come from, and what is doubtful about them."""
    if timing.until is None:
        return [say("No temperatures of this season yet: type the day's lowest and highest, or import them.")]
    found = [
        say(
            "Temperatures from {sources}.",
            sources=", ".join(_source(one.source, one.first, one.last) for one in timing.sources),
        )
    ]
    if (date.fromisoformat(day) - date.fromisoformat(timing.until)).days > 1:
        found.append(say("None are known since {day}.", day=timing.until))
    found += [
        say(
            "{day} was told twice by one source: {first} is used, not {others}.",
            day=one.day,
            first=_pair(one.lows[0], one.highs[0]),
            others=", ".join(map(_pair, one.lows[1:], one.highs[1:])),
        )
        for one in timing.clashes
    ]
    if timing.unusable:
        found.append(
            say_many(
                "{count} reading cannot be right and is not used.",
                "{count} readings cannot be right and are not used.",
                timing.unusable,
            )
        )
    return found


def source_in_words(source: str) -> str:
    """A source of temperatures; an imported one goes by its name."""
    return source or say("own thermometer")


def _source(source: str, first: str, last: str) -> str:
    return say("{source} ({days})", source=source_in_words(source), days=between(first, last))


def _pair(low: float, high: float) -> str:
    return say("{low} to {high} °C", low=f"{low:.1f}", high=f"{high:.1f}")


# ---------------------------------------------------------------- days and totals
def between(first: str | None, last: str | None) -> str:
    """One day, or from one to another; what is not known is a dash."""
    if first == last:
        return first or "–"
    return say("{first} to {last}", first=first or "–", last=last or "–")


def days_between(event: EventBand) -> str:
    """The days of a band."""
    return between(event.earliest, event.latest)


def spans_text(spans: Sequence[DaySpan]) -> str:
    """Spans of days; many are cut short."""
    named = [between(one.first, one.last) for one in spans[:MOST_SPANS]]
    return ", ".join([*named, *(["…"] if len(spans) > MOST_SPANS else [])])


def _start(clock: ClockLine) -> str:
    if clock.clock is Clock.BIOFIX:
        return say("biofix ({days})", days=between(clock.first_start, clock.last_start))
    return clock.first_start


def _gaps(clock: ClockLine) -> Iterable[str]:
    if clock.missing_days:
        yield say_many(
            "Incomplete: {count} day is missing ({days}), so this is a least total, and days may come earlier.",
            "Incomplete: {count} days are missing ({days}), so this is a least total, and days may come earlier.",
            clock.missing_days,
            days=spans_text(clock.missing),
        )
    if clock.filled:
        yield say("Filled, not measured: {days}.", days=spans_text(clock.filled))


def _basis(event: EventBand) -> Iterable[str]:
    if event.basis is Basis.OWN_YEARS:
        yield say("From this garden's own years {years}.", years=", ".join(map(str, event.years)))
    elif event.basis is Basis.LAST_DAYS:
        yield say("From the pace of the last fortnight.")


def _totals(event: EventBand) -> str:
    told = _total(event.low, event.high)
    return say("unchecked, {total}", total=told) if event.unchecked else told


def _total(low: float, high: float) -> str:
    return say(
        "{celsius} °C-days, {fahrenheit} °F-days",
        celsius=_range(low, high, 0),
        fahrenheit=_range(in_fahrenheit_days(low), in_fahrenheit_days(high), 0),
    )


def _range(low: float, high: float, decimals: int = 1) -> str:
    first, last = f"{low:.{decimals}f}", f"{high:.{decimals}f}"
    return first if first == last else say("{low} to {high}", low=first, high=last)

"""When the flight began, as an interval of days, by a published rule. Knows counts and evenings; no traps and no words.

"A gap in the visits is *not known*, never *not met*." Traps are not looked at daily, so what a visit finds flew on some
night since the visit before, and the beginning is an interval: from the last look that found none (or too few) to the
first one that meets the rule.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

MOST_DAYS_UNSEEN = 7  # the longest time between visits that a source names: weekly, after biofix (California)
# [°C] 62 °F: moths fly and mate a few hours either side of a sunset that warm (University of California).
SUNSET_C = 16.7
DAYS_IN_A_ROW = 3
MOTHS = 3  # "3 to 5 moths, never the first alone" (Indiana); "average 3 or more per trap" (Ohio)


class Rule(StrEnum):
    """Rules by which a flight has begun; their sources stand in the table of trap rules."""

    IN_A_ROW = "in_a_row"  # first of three days in a row with catch, and 16.7 °C at sunset
    TOTAL = "total"  # three moths in all traps together
    MEAN = "mean"  # three moths a trap on average
    BY_HAND = "by_hand"  # somebody says the day
    NONE = "none"  # no trap: the clock of the season's first day alone


class State(StrEnum):
    """What can be said of a rule today."""

    MET = "met"
    NOT_MET = "not_met"  # looked at, and not met up to the last look
    NOT_KNOWN = "not_known"  # nobody looked for too long, or a temperature at sunset is missing
    NO_TRAP = "no_trap"


@dataclass(frozen=True, slots=True)
class Look:
    """One count of one trap: moths caught since a day. `since` is None where it is not known, as after a lost trap."""

    key: str
    trap: str
    day: date
    catch: int
    since: date | None


class Evening(StrEnum):
    """Whether it was warm enough at sunset."""

    WARM = "warm"
    COOL = "cool"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True)
class Biofix:
    """The beginning of the flight: between `first` and `last`, by the looks named in `made_by`.

    `first` is None where nobody looked before. `cool` and `dusk_missing` are evenings on which the rule failed or
    could not be judged; `seen_until` is the last look. `first` and `last` are given for *not known* too, where a
    catch would meet the rule but nobody looked for too long before it.
    """

    rule: Rule
    state: State
    first: date | None = None
    last: date | None = None
    made_by: tuple[str, ...] = ()
    seen_until: date | None = None
    cool: tuple[date, ...] = ()
    dusk_missing: tuple[date, ...] = ()
    moths: float = 0.0


def biofix(
    rule: Rule, looks: Sequence[Look], evenings: Mapping[date, Evening], today: date, moths: float = MOTHS
) -> Biofix:
    """When the flight began by a rule that looks at traps.

    Args:
        rule: in a row, total or mean; the other two look at no trap.
        looks: counts of all traps of a garden in a season, in any order; no double counts [moths].
        evenings: whether a day's sunset was warm enough; a day that is not there is not known. For `IN_A_ROW`.
        today: the day it is; a trap that nobody looked at for more than a week before it is not known to be empty.
        moths: what `TOTAL` and `MEAN` ask for [moths, moths a trap].
    Returns:
        The interval, or why there is none yet.
    Raises:
        ValueError: the rule looks at no trap.
    Misleads:
        where the trap was hung when moths flew already, where it catches the neighbours' moths, and where visits in
        a row are days apart: "three days in a row" is then read as visits in a row with catch over three days or
        more, with none without between (common practice). Catch times the flight and does not measure damage.

    One moth alone is no beginning; two more are, by the total:

    >>> days = [date(2026, 5, day) for day in (1, 4, 8)]
    >>> looks = [Look(str(day), "T1", day, n, days[0]) for day, n in zip(days, (0, 1, 2))]
    >>> biofix(Rule.TOTAL, looks[:2], {}, days[1]).state.value
    'not_met'
    >>> found = biofix(Rule.TOTAL, looks, {}, days[2])
    >>> found.state.value, str(found.first), str(found.last)
    ('met', '2026-05-04', '2026-05-08')

    Source: rules as in the table of trap rules, each with its source.
    """
    if rule not in _RULES:
        raise ValueError(f"The rule {rule.value} looks at no trap.")
    if not looks:
        return Biofix(rule, State.NO_TRAP)
    by_day = _by_day(looks)
    found = _RULES[rule](by_day, evenings, moths)
    return _unless_nobody_looked(found, max(by_day), today)


def evening_of(dusk: float | None, minimum: float | None, maximum: float | None) -> Evening:
    """Whether a sunset reached 16.7 °C, from its own reading, else from what the day's extremes leave open.

    >>> evening_of(None, 8.0, 15.0), evening_of(None, 8.0, 24.0), evening_of(17.0, 8.0, 24.0)
    (<Evening.COOL: 'cool'>, <Evening.NOT_KNOWN: 'not_known'>, <Evening.WARM: 'warm'>)
    """
    if dusk is not None:
        return Evening.WARM if dusk >= SUNSET_C - 0.05 else Evening.COOL
    if maximum is not None and maximum < SUNSET_C - 0.05:
        return Evening.COOL
    return Evening.WARM if minimum is not None and minimum >= SUNSET_C else Evening.NOT_KNOWN


# ---------------------------------------------------------------- what the looks of one day say
@dataclass(frozen=True, slots=True)
class _DayOfLooks:
    """All looks of one day; `since` is the day of the last look before, None where the time between is not known."""

    day: date
    looks: tuple[Look, ...]

    @property
    def catch(self) -> int:
        return sum(one.catch for one in self.looks)

    @property
    def whole(self) -> bool:
        """Whether every trap hung and caught since the look before."""
        return all(one.since is not None for one in self.looks)

    @property
    def since(self) -> date:
        """The earliest day since which a moth of these looks may have been caught; the day before where not known."""
        known = [one.since for one in self.looks if one.since is not None]
        return max(min(known, default=self.day - timedelta(1)), self.day - timedelta(MOST_DAYS_UNSEEN))


def _by_day(looks: Sequence[Look]) -> dict[date, _DayOfLooks]:
    days: dict[date, list[Look]] = {}
    for one in sorted(looks, key=lambda look: (look.day, look.key)):
        days.setdefault(one.day, []).append(one)
    return {day: _DayOfLooks(day, tuple(found)) for day, found in days.items()}


Days = dict[date, _DayOfLooks]


def _in_a_row(days: Days, evenings: Mapping[date, Evening], moths: float) -> Biofix:
    """The first run of catches over three days that begins on a warm evening."""
    cool: list[date] = []
    unknown: list[date] = []
    caught = 0
    for run, none_on in _runs(days):
        caught = sum(one.catch for one in run)
        for place, start in enumerate(run):
            if (run[-1].day - start.day).days + 1 < DAYS_IN_A_ROW:
                break
            warmth = {night: evenings.get(night, Evening.NOT_KNOWN) for night in _evenings_of(start)}
            if Evening.WARM in warmth.values():
                before = run[place - 1].day if place else none_on
                return _met(Rule.IN_A_ROW, start, before, run[place:], float(caught), cool, unknown)
            told = unknown if Evening.NOT_KNOWN in warmth.values() else cool
            told += [night for night, one in warmth.items() if told is cool or one is Evening.NOT_KNOWN]
    state = State.NOT_KNOWN if unknown else State.NOT_MET
    return Biofix(Rule.IN_A_ROW, state, cool=tuple(cool), dusk_missing=tuple(unknown), moths=float(caught))


def _evenings_of(start: _DayOfLooks) -> list[date]:
    """The evenings on which the moths of a look flew: after the look before, up to its own day."""
    return [start.since + timedelta(n) for n in range(1, (start.day - start.since).days + 1)]


def _runs(days: Days) -> Iterator[tuple[list[_DayOfLooks], date | None]]:
    """Days with catch in a row, and the day of the look without catch before them."""
    run: list[_DayOfLooks] = []
    none_on: date | None = None
    for day in sorted(days):
        one = days[day]
        if one.catch:
            run.append(one)
            continue
        if run:
            yield run, none_on
        run, none_on = [], day
    if run:
        yield run, none_on


def _total(days: Days, evenings: Mapping[date, Evening], moths: float) -> Biofix:
    """Enough moths in all traps together. Moths of a lost trap may have been the first, until a look finds none."""
    caught = 0
    before: date | None = None
    unseen_from: date | None = None
    made_by: list[_DayOfLooks] = []
    for day in sorted(days):
        one = days[day]
        caught += one.catch
        made_by += [one] if one.catch else []
        unseen_from = (unseen_from or before) if not one.whole else unseen_from
        if caught >= moths:
            return _met(Rule.TOTAL, one, unseen_from or before, made_by, float(caught))
        before, unseen_from = day, unseen_from if one.catch else None
    return Biofix(Rule.TOTAL, State.NOT_MET, moths=float(caught))


def _mean(days: Days, evenings: Mapping[date, Evening], moths: float) -> Biofix:
    """Enough moths a trap, over the newest look at each trap within a week."""
    newest: dict[str, Look] = {}
    before: date | None = None
    most = 0.0
    for day in sorted(days):
        newest |= {one.trap: one for one in days[day].looks}
        current = [one for one in newest.values() if (day - one.day).days < MOST_DAYS_UNSEEN]
        mean = sum(one.catch for one in current) / len(current)
        most = max(most, mean)
        if mean >= moths:
            return _met(Rule.MEAN, days[day], before, [days[day]], mean)
        before = day
    return Biofix(Rule.MEAN, State.NOT_MET, moths=most)


_RULES = {Rule.IN_A_ROW: _in_a_row, Rule.TOTAL: _total, Rule.MEAN: _mean}


def _met(
    rule: Rule,
    start: _DayOfLooks,
    before: date | None,
    made_by: Sequence[_DayOfLooks],
    moths: float,
    cool: Sequence[date] = (),
    dusk_missing: Sequence[date] = (),
) -> Biofix:
    """The interval since the last look that did not meet the rule; not known without one, or where it is too long."""
    seen = before is not None and (start.day - before).days <= MOST_DAYS_UNSEEN
    return Biofix(
        rule,
        State.MET if seen else State.NOT_KNOWN,
        before,
        start.day,
        tuple(look.key for one in made_by for look in one.looks if look.catch),
        cool=tuple(cool),
        dusk_missing=tuple(dusk_missing),
        moths=moths,
    )


def _unless_nobody_looked(found: Biofix, seen_until: date, today: date) -> Biofix:
    stale = found.state is State.NOT_MET and (today - seen_until).days > MOST_DAYS_UNSEEN
    return replace(found, seen_until=seen_until, state=State.NOT_KNOWN if stale else found.state)

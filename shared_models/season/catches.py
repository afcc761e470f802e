"""Trap catch from the raw numbers of all visits, in order of (when, id). Catch is not damage.

    on the liner now:  catch = number − what was on the liner after the visit before (0 after emptied or a new liner)
    new since last:    catch = number, and it adds to what is on the liner

Days between counted visits are the exposure; lost, flooded, unreadable and not visited break it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import CountMode


@dataclass(frozen=True, slots=True)
class Catch:
    """What one visit adds: moths caught, and the days that they were caught in (None where exposure was broken).

    `double_of` names the visit that already counted the same moths; `below_none` marks a negative difference.
    """

    visit: str
    day: date | None
    state: str
    raw: int | None
    catch: int
    days: int | None
    double_of: str | None = None
    below_none: bool = False


@dataclass(frozen=True, slots=True)
class TrapCatch:
    """All visits of one trap in a season."""

    trap: str
    label: str
    garden: str
    visits: list[Catch] = field(default_factory=list)

    @property
    def catch(self) -> int:
        """Moths caught in days of known exposure, which is what a rate is made of."""
        return sum(one.catch for one in self.visits if one.days is not None)

    @property
    def caught_in_all(self) -> int:
        """All moths caught, exposure known or not."""
        return sum(one.catch for one in self.visits)

    @property
    def trap_days(self) -> int:
        """Days of exposure."""
        return sum(one.days or 0 for one in self.visits)


def trap_catches(records: SeasonRecords) -> list[TrapCatch]:
    """The catch of every trap that was visited in the season, by label."""
    hung = hangings(records.all(Placement))
    of_trap: dict[str, list[TrapVisit]] = {}
    for visit in records.all(TrapVisit):
        of_trap.setdefault(visit.trap, []).append(visit)
    traps = [trap for trap in records.all(Trap) if trap.rec in of_trap]
    return [
        TrapCatch(trap.rec, trap.label, trap.garden, catches(of_trap[trap.rec], hung.get(trap.rec, ())))
        for trap in sorted(traps, key=lambda trap: (trap.garden, trap.order or 0, trap.label, trap.rec))
    ]


def catches(visits: Iterable[TrapVisit], hung_on: Sequence[date] = ()) -> list[Catch]:
    """The catch of each visit to one trap; each day that it was `hung_on` begins exposure anew."""
    liner = _Liner(hung_on)
    return [
        liner.visited(visit) for visit in sorted(visits, key=lambda visit: (visit.moment.order, visit.rec))
    ]


class _Liner:
    """What is on the liner of one trap, and since when, as its visits are gone through in order."""

    def __init__(self, hung_on: Sequence[date]) -> None:
        self._on_it = 0
        self._hung_on = hung_on
        self._since: date | None = None
        self._broken_on: date | None = None
        self._counts_after: dict[str | None, str] = {}

    def visited(self, visit: TrapVisit) -> Catch:
        if not visit.counted or visit.moths is None:
            self._since, self._broken_on = None, visit.moment.day
            if visit.emptied or visit.liner_changed:
                self._on_it = 0
            return Catch(visit.rec, visit.moment.day, visit.state, visit.moths, 0, None)
        double_of = self._counts_after.get(visit.previous)
        self._counts_after.setdefault(visit.previous, visit.rec)
        difference = self._caught(visit, visit.moths, double_of)
        days = self._days_to(visit.moment.day)
        return Catch(
            visit.rec,
            visit.moment.day,
            visit.state,
            visit.moths,
            max(0, difference),
            days,
            double_of,
            difference < 0,
        )

    def _caught(self, visit: TrapVisit, moths: int, double_of: str | None) -> int:
        if visit.mode is CountMode.ON_LINER:
            caught = moths - self._on_it
            self._on_it = moths
        else:
            caught = 0 if double_of else moths
            self._on_it += caught
        if visit.emptied or visit.liner_changed:
            self._on_it = 0
        return caught

    def _days_to(self, day: date | None) -> int | None:
        """Days since the count before, or since the trap was hung after it; a visit without a count breaks them."""
        hung = [
            one
            for one in self._hung_on
            if day and one <= day and (not self._broken_on or one > self._broken_on)
        ]
        start = max([*hung, *([self._since] if self._since else [])], default=None)
        self._since = day
        return (day - start).days if day and start and day >= start else None


def hangings(placements: Iterable[Placement]) -> dict[str, list[date]]:
    """The days on which each trap was hung, by trap. Moved on the day that it was taken down, it hung all along."""
    spells: dict[str, list[Placement]] = {}
    for placement in sorted(placements, key=lambda one: (one.from_day, one.rec)):
        spells.setdefault(placement.trap, []).append(placement)
    return {trap: _begun_anew(of_trap) for trap, of_trap in spells.items()}


def _begun_anew(spells: Sequence[Placement]) -> list[date]:
    days: list[date] = []
    hung_until = ""
    for spell in spells:
        if not days or spell.from_day > hung_until:
            days.append(date.fromisoformat(spell.from_day))
        hung_until = max(hung_until, spell.to_day or "9999-12-31")
    return days

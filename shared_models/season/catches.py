"""Trap catch from the raw numbers of all visits, in order of (when, id). Catch is not damage.

    on the liner now:  catch = number − what was on the liner after the visit before (0 after emptied or a new liner)
    new since last:    catch = number, and it adds to what is on the liner

Days between counted visits are the exposure; lost, flooded, unreadable and not visited break it.

Catch is computed from the visits of all seasons and then cut: a catch belongs, with all its days of exposure, to the
season of its visit's day, also where the trap hung or was last counted in the season before. It stands under the
garden where the trap hung on that day.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.season_records import SeasonRecords
from shared_models.trap_places import NOWHERE, TrapPlaces, trap_places
from shared_models.vocabulary import CountMode, TrapState

NO_COUNT = "no_count"  # the trap was reached, perhaps its liner changed, and no number was said: never a 0


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
    """All visits of one trap in a season while it hung in one garden."""

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
    """The catch of every trap that was visited in the season, by garden and walking order; one for each garden."""
    places = trap_places(records.all(Placement))
    of_trap: dict[str, list[TrapVisit]] = {}
    for visit in (*records.all(TrapVisit), *records.other_trap_visits):
        of_trap.setdefault(visit.trap, []).append(visit)
    of_season = {visit.rec for visit in records.all(TrapVisit)}
    traps = sorted(records.all(Trap), key=lambda trap: (trap.order or 0, trap.label, trap.rec))
    found = [
        one
        for trap in traps
        for one in _by_garden(trap, of_trap.get(trap.rec, []), places.get(trap.rec, NOWHERE), of_season)
    ]
    return sorted(found, key=lambda one: one.garden)


def _by_garden(
    trap: Trap, visits: Sequence[TrapVisit], places: TrapPlaces, of_season: set[str]
) -> list[TrapCatch]:
    last_day = {visit.rec: visit.moment.last for visit in visits}
    found: dict[str, TrapCatch] = {}
    for one in catches(visits, places):
        if one.visit in of_season:
            garden = places.garden_on(last_day[one.visit]) or trap.garden
            here = found.setdefault(garden, TrapCatch(trap.rec, trap.label, garden))
            here.visits.append(one)
    return list(found.values())


def catches(visits: Iterable[TrapVisit], places: TrapPlaces = NOWHERE) -> list[Catch]:
    """The catch of each visit to one trap; each day that it was hung on begins exposure anew."""
    liner = _Liner(places)
    return [liner.visited(visit) for visit in in_order(visits)]


def on_liner(visits: Iterable[TrapVisit], places: TrapPlaces = NOWHERE, day: date | None = None) -> int:
    """Moths on the liner of one trap after these visits, as a visit on a day (or at any later time) finds it."""
    liner = _Liner(places)
    for visit in in_order(visits):
        liner.visited(visit)
    liner.reached(day or date.max)
    return liner.on_it


def in_order(visits: Iterable[TrapVisit]) -> list[TrapVisit]:
    """Visits in the order in which catch is computed, whoever entered them and when."""
    return sorted(visits, key=lambda visit: (visit.moment.order, visit.rec))


def claim_of(visit: TrapVisit) -> str | date | None:
    """What two counts of the same moths have in common; None where a count can have no double.

    That is the visit that both name as the one before. Naming none is not naming one: only two first counts of one
    day are of the same moths, for phones that never met may each count a trap for weeks.
    """
    return visit.previous or visit.moment.day


class _Liner:
    """What is on the liner of one trap, and since when, as its visits are gone through in order."""

    def __init__(self, places: TrapPlaces) -> None:
        self.on_it = 0
        self._places = places
        self._since: date | None = None
        self._broken_on: date | None = None
        self._lost_on: date | None = None
        self._counted_by: dict[str | date, str] = {}

    def reached(self, day: date | None) -> None:
        """A lost trap that was hung anew meanwhile, on the same day at the earliest, has nothing of the old liner."""
        if day and self._lost_on and (hung := self._places.begun_between(self._lost_on, day)):
            self.on_it, self._lost_on, self._since, self._broken_on = 0, None, hung, None

    def visited(self, visit: TrapVisit) -> Catch:
        """Take in the next visit."""
        self.reached(visit.moment.day)
        if visit.counted and visit.moths is not None:
            return self._counted(visit, visit.moths)
        self._not_counted(visit)
        state = NO_COUNT if visit.state is TrapState.COUNTED else visit.state
        return Catch(visit.rec, visit.moment.day, state, visit.moths, 0, None)

    def _not_counted(self, visit: TrapVisit) -> None:
        self._since, self._broken_on = None, visit.moment.day
        if visit.state is TrapState.LOST:
            self._lost_on = visit.moment.day
        self._cleared(visit)

    def _counted(self, visit: TrapVisit, moths: int) -> Catch:
        self._lost_on = None
        double_of = self._double_of(visit)
        dropped = double_of is not None and visit.mode is CountMode.NEW
        caught = 0 if dropped else self._caught(visit, moths)
        days = None if dropped else self._days_to(visit.moment.day)
        self._cleared(visit)
        return Catch(
            visit.rec,
            visit.moment.day,
            visit.state,
            moths,
            max(0, caught),
            days,
            double_of,
            caught < 0,
        )

    def _double_of(self, visit: TrapVisit) -> str | None:
        claim = claim_of(visit)
        if claim is None:
            return None
        first = self._counted_by.setdefault(claim, visit.rec)
        return first if first != visit.rec else None

    def _caught(self, visit: TrapVisit, moths: int) -> int:
        if visit.mode is CountMode.ON_LINER:
            caught, self.on_it = moths - self.on_it, moths
            return caught
        self.on_it += moths
        return moths

    def _cleared(self, visit: TrapVisit) -> None:
        if visit.emptied or visit.liner_changed:
            self.on_it = 0

    def _days_to(self, day: date | None) -> int | None:
        """Days since the count before, or since the trap was hung after it; a visit without a count breaks them."""
        hung = [
            one
            for one in self._places.hung_on
            if day and one <= day and (not self._broken_on or one > self._broken_on)
        ]
        start = max([*hung, *([self._since] if self._since else [])], default=None)
        self._since = day
        return (day - start).days if day and start and day >= start else None

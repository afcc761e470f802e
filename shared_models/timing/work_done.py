"""What was done in one garden in a season, as far as work falls due by it. Plain values; how they are read is elsewhere."""

from dataclasses import dataclass
from datetime import date

from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.season.catches import catches, in_order
from shared_models.season_records import SeasonRecords
from shared_models.trap_places import NOWHERE, TrapPlaces, trap_places
from shared_models.vocabulary import TrapState


@dataclass(frozen=True, slots=True)
class TrapAsItHangs:
    """A trap: its last visit, the lure and the liner that are in it, and the moths that this liner has caught."""

    trap: str
    label: str
    garden: str
    last_visit: date | None
    lure_since: date | None
    liner_since: date | None
    on_liner: int


@dataclass(frozen=True, slots=True)
class WorkDone:
    """Days on which something was done last in a garden and season. `trees` is how many stand there.

    `bands` says that trunk bands are this garden's way: some were put on before, or are planned.
    """

    trees: int = 0
    drops: date | None = None
    bagging: date | None = None
    bag_check: date | None = None
    picked: date | None = None
    bands_on: date | None = None
    bands_off: date | None = None
    bands: bool = False


def traps_as_they_hang(records: SeasonRecords) -> list[TrapAsItHangs]:
    """The traps that are out, in walking order."""
    places = trap_places(records.all(Placement))
    of_trap: dict[str, list[TrapVisit]] = {}
    for visit in (*records.all(TrapVisit), *records.other_trap_visits):
        of_trap.setdefault(visit.trap, []).append(visit)
    out = [trap for trap in records.all(Trap) if not trap.retired]
    return [
        _as_it_hangs(trap, in_order(of_trap.get(trap.rec, [])), places.get(trap.rec, NOWHERE))
        for trap in sorted(out, key=_walking_order)
    ]


def _as_it_hangs(trap: Trap, visits: list[TrapVisit], places: TrapPlaces) -> TrapAsItHangs:
    hung = max(places.hung_on, default=None)
    reached = [visit.moment.last for visit in visits if visit.state is not TrapState.NOT_VISITED]
    lures = [visit.moment.first for visit in visits if visit.lure_type or visit.lure_load_mg]
    liners = [visit.moment.first for visit in visits if visit.liner_changed]
    return TrapAsItHangs(
        trap.rec,
        trap.label,
        trap.garden,
        max((day for day in reached if day), default=None),
        _later(hung, lures),
        _later(hung, liners),
        _on_liner(visits, places),
    )


def _later(hung: date | None, changes: list[date | None]) -> date | None:
    """The last change, or the day that the trap was hung: nobody hangs a trap with last season's lure and liner."""
    return max((day for day in (hung, *changes) if day), default=None)


def _on_liner(visits: list[TrapVisit], places: TrapPlaces) -> int:
    """Moths caught on the liner that is in now (moths taken off have used up its glue too)."""
    hung = max(places.hung_on, default=None)
    caught = 0
    for visit, catch in zip(visits, catches(visits, places), strict=True):
        before_it_hung = hung and visit.moment.last and visit.moment.last < hung
        caught = 0 if visit.liner_changed or before_it_hung else caught + catch.catch
    return caught


def _walking_order(trap: Trap) -> tuple[str, float, str, str]:
    return (trap.garden, trap.order if trap.order is not None else 1e9, trap.label, trap.rec)

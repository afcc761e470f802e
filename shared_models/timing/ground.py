"""What the timing of a season is made of: its records, and the temperatures of all years. Knows no rule."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from shared_models import season_records
from shared_models.calculations.forecast import MOST_YEARS, years_before
from shared_models.entries import Entry
from shared_models.fold import fold_all
from shared_models.records.gardens import Garden, Graft, SameTree, Tree
from shared_models.records.jobs import DayTemperature
from shared_models.records.kinds import is_known, record_of
from shared_models.records.timing import SeasonSetting, Stage
from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.season.catches import TrapCatch, trap_catches
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords
from shared_models.seasons import Season
from shared_models.timing.readings import Reading, reading_of

KINDS_NEEDED = (Garden, Tree, Graft, SameTree, Trap, Placement, TrapVisit, SeasonSetting, Stage)
Readings = Mapping[str, Sequence[Reading]]


@dataclass(frozen=True)
class TimingGround:
    """The records of a season, and the readings of each garden in all years."""

    season: SeasonRecords
    readings: Readings

    @cached_property
    def orchard(self) -> Orchard:
        """Gardens and trees as they are."""
        return Orchard(self.season)

    @cached_property
    def catches(self) -> list[TrapCatch]:
        """What every trap caught in the season, reckoned once for all gardens."""
        return trap_catches(self.season)


def first_day_needed(season: Season) -> date:
    """The first day whose temperatures a season's timing may look at: of the earliest year that a projection uses.

    A station's century is kept, and read by nobody who asks what comes next.
    """
    return years_before(season.first_day, MOST_YEARS + 1)


def by_garden(readings: Iterable[Reading]) -> Readings:
    """The readings of each garden."""
    found: defaultdict[str, list[Reading]] = defaultdict(list)
    for reading in readings:
        found[reading.garden].append(reading)
    return {**found}


def from_entries(entries: Iterable[Entry], season_key: str) -> TimingGround:
    """The same from bare entries, as an archive or a check has them."""
    told = list(entries)
    folded = fold_all(entry for entry in told if is_known(entry.kind, entry.v)).values()
    live = (record_of(one) for one in folded if one.kind == DayTemperature.kind and not one.deleted)
    days = [record for record in live if isinstance(record, DayTemperature)]
    return TimingGround(season_records.from_entries(told, season_key), by_garden(map(reading_of, days)))

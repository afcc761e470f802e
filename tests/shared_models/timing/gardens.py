"""A garden with traps and a thermometer for tests of timing: entries as phones make them, a real series as weather."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import Any

from shared_models.calculations.heat_sums import Extremes
from shared_models.entries import Entry
from shared_models.timing.garden_timing import season_timing
from shared_models.timing.ground import from_entries
from shared_models.timing.parts import GardenTiming, SeasonTiming
from tests.builders import SUMMER, FieldPhone
from tests.shared_models.calculations.seattle import seattle_days


class TimedGarden:
    """Entries of one phone about one garden."""

    def __init__(self, hemisphere: str = "north", name: str = "Hill") -> None:
        self.phone = FieldPhone(datetime(2014, 1, 1, 9, tzinfo=SUMMER))
        self.garden = self.phone.garden(name, hemisphere)
        self.entries: list[Entry] = [self.garden]

    def makes(self, kind: str, **fields: Any) -> Entry:
        """Record something."""
        made = self.phone.makes(kind, fields)
        self.entries.append(made)
        return made

    def weather(
        self,
        days: Mapping[date, Extremes],
        without: Iterable[date] = (),
        later: timedelta = timedelta(),
        **more: Any,
    ) -> None:
        """Day temperatures [°C], `later` so much than they were measured."""
        left_out = set(without)
        for day, told in sorted(days.items()):
            if day + later not in left_out:
                self.day(day + later, told.minimum, told.maximum, **more)

    def day(self, day: date, lowest: float, highest: float, unit: str = "C", **more: Any) -> Entry:
        """One day temperature."""
        said = {"garden": self.garden.rec, "when": day.isoformat(), "lowest": lowest, "highest": highest}
        return self.makes("day_temperature", **said, unit=unit, **more)

    def trap(self, label: str = "T1", since: date = date(2014, 4, 15)) -> str:
        """A trap that hangs since a day."""
        trap = self.makes("trap", label=label, garden=self.garden.rec)
        self.makes("placement", trap=trap.rec, garden=self.garden.rec, from_day=since.isoformat())
        return trap.rec

    def count(self, trap: str, day: date, moths: int, **more: Any) -> Entry:
        """A count of new moths; a trap is emptied each time."""
        said = {"trap": trap, "when": day.isoformat(), "state": "counted", "moths": moths, "emptied": True}
        return self.makes("trap_visit", **(said | more))

    def counts(self, trap: str, first: date, every: int, *moths: int) -> None:
        """Counts every so many days."""
        for n, caught in enumerate(moths):
            self.count(trap, first + timedelta(n * every), caught)

    def setting(self, season: str, **chosen: Any) -> None:
        """How the garden's season is reckoned."""
        self.makes("season_setting", garden=self.garden.rec, season=season, **chosen)

    def season(self, key: str, day: date) -> SeasonTiming:
        """The timing of all gardens."""
        return season_timing(from_entries(self.entries, key), day)

    def timing(self, key: str, day: date) -> GardenTiming:
        """The timing of this garden."""
        found = {one.garden: one for one in self.season(key, day).gardens}
        return found[self.garden.rec]


def seattle_of(*years: int) -> dict[date, Extremes]:
    """Years of the real series."""
    return {day: told for day, told in seattle_days().items() if day.year in years}

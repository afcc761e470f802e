"""Where one trap hung and since when, from its placements. Knows no visits and no catch."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from shared_models.records.traps import Placement

_NO_END = "9999-12-31"


@dataclass(frozen=True)
class TrapPlaces:
    """The placements of one trap, by first day."""

    placements: tuple[Placement, ...] = ()

    @cached_property
    def begun(self) -> tuple[date, ...]:
        """The days on which any placement began."""
        return tuple(date.fromisoformat(one.from_day) for one in self.placements)

    @cached_property
    def hung_on(self) -> tuple[date, ...]:
        """The days on which the trap was hung. Moved on the day that it was taken down, it hung all along."""
        days: list[date] = []
        hung_until = ""
        for one in self.placements:
            if not days or one.from_day > hung_until:
                days.append(date.fromisoformat(one.from_day))
            hung_until = max(hung_until, one.to_day or _NO_END)
        return tuple(days)

    def begun_between(self, first: date, last: date) -> date | None:
        """The last day from `first` to `last` on which a placement began; None where none did."""
        return max((day for day in self.begun if first <= day <= last), default=None)

    def garden_on(self, day: date | None) -> str | None:
        """The garden that a count of this day speaks of; None without a day or a placement.

        On the day of a move this is still the old garden, since what is counted flew in the nights before. Outside
        of all placements it is the garden of the last one before the day, else of the first one after it.
        """
        if day is None or not self.placements:
            return None
        told = day.isoformat()
        begun = [one for one in self.placements if one.from_day <= told]
        standing = [one for one in begun if told <= (one.to_day or _NO_END)]
        since_before = [one for one in standing if one.from_day < told]
        return (since_before or standing or begun or self.placements[:1])[-1].garden


NOWHERE = TrapPlaces()


def trap_places(placements: Iterable[Placement]) -> dict[str, TrapPlaces]:
    """The places of each trap, by trap."""
    of_trap: dict[str, list[Placement]] = {}
    for placement in sorted(placements, key=lambda one: (one.from_day, one.rec)):
        of_trap.setdefault(placement.trap, []).append(placement)
    return {trap: TrapPlaces(tuple(placed)) for trap, placed in of_trap.items()}

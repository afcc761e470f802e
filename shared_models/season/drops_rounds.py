"""Drops rounds of a garden: which days were rounds, and whether there were enough to count as a method.

Two a month from June drop to the garden's last picking make it whole (a convention of this project, changeable by
the group's own method). A day on which fewer than half of the standing trees were visited is a round in part only.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from shared_models.records.jobs import Job
from shared_models.records.tallies import Pick, Visit
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import DROPS_ROUND, Round

DAYS_A_MONTH = 30.4375  # mean length of a month in the Gregorian calendar [days]
LEAST_SHARE_OF_TREES = 0.5


@dataclass(slots=True)
class RoundDays:
    """The days of a garden's rounds from June drop to its last picking, wholly and in part."""

    wholly: set[date] = field(default_factory=set)
    partly: set[date] = field(default_factory=set)
    last_picking: date | None = None


def round_days(records: SeasonRecords, orchard: Orchard) -> dict[str, RoundDays]:
    """The drops rounds of each garden that had any, or was picked."""
    return _Rounds(records, orchard).by_garden()


def rounds_needed(days: RoundDays, june_drop_ends: date, a_month: int) -> int:
    """How many rounds count as having had them: so many a month, and never less than one month's."""
    end = days.last_picking
    months = (end - june_drop_ends).days / DAYS_A_MONTH if end and end > june_drop_ends else 1
    return max(a_month, int(a_month * months))


class _Rounds:
    def __init__(self, records: SeasonRecords, orchard: Orchard) -> None:
        self._records, self._orchard = records, orchard
        self._found: dict[str, RoundDays] = {}

    def by_garden(self) -> dict[str, RoundDays]:
        self._note_pickings()
        for job in self._records.all(Job):
            if job.method == DROPS_ROUND:
                for garden in self._gardens_of(job):
                    self._note(garden, job.moment.last, in_part=job.partly)
        for (garden, day), trees in self._visited().items():
            few = len(trees) < LEAST_SHARE_OF_TREES * len(self._orchard.of_garden(garden, day))
            self._note(garden, day, in_part=few)
        return self._found

    def _of(self, garden: str) -> RoundDays:
        return self._found.setdefault(garden, RoundDays())

    def _note(self, garden: str, day: date | None, in_part: bool) -> None:
        days = self._of(garden)
        start, end = self._records.season.june_drop_ends, days.last_picking or self._records.season.last_day
        if day and start <= day <= end:
            (days.partly if in_part else days.wholly).add(day)

    def _gardens_of(self, job: Job) -> set[str]:
        trees = (self._orchard.trees.get(self._orchard.one(tree)) for tree in job.trees)
        return {tree.garden for tree in trees if tree} | ({job.garden} if job.garden else set())

    def _visited(self) -> dict[tuple[str, date], set[str]]:
        visited: dict[tuple[str, date], set[str]] = {}
        for visit in self._records.all(Visit):
            garden, day = self._orchard.garden_of(visit.tree), visit.moment.last
            if visit.round is Round.DROPS and garden and day:
                visited.setdefault((garden.rec, day), set()).add(self._orchard.one(visit.tree))
        return visited

    def _note_pickings(self) -> None:
        """The last day of picking in the season itself: stored fruit scored in January was picked before."""
        visits = (visit for visit in self._records.all(Visit) if visit.round is Round.PICKING)
        picked: Iterable[Visit | Pick] = [*visits, *self._records.all(Pick)]
        for record in picked:
            garden, day = self._orchard.garden_of(record.tree), record.moment.last
            if garden and day and self._records.season.holds(day):
                days = self._of(garden.rec)
                days.last_picking = max(day, days.last_picking or day)

"""What is due in each garden, and why, from what this phone holds and the rules that its group has set.

Offers `GardensToday`: each garden with its timing and its due lines. The rules themselves are changed in `due_rules`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import today
from mobile.workflows.own_rules import own_rules
from mobile.workflows.tree_list import TreeList
from shared_models.due_words import due_reason, due_sentence
from shared_models.records.bag_checks import BagCheck
from shared_models.records.fields import Record
from shared_models.records.gardens import Garden
from shared_models.records.jobs import Job
from shared_models.records.tallies import Pick, Visit
from shared_models.records.timing import Stage
from shared_models.reference.work_rules import WorkRules, published_rules
from shared_models.seasons import Season, season_named, season_of
from shared_models.timing.bloom import stages_seen
from shared_models.timing.due_work import DueKind, DueLine, GardenToday, day_of_rule, due_work
from shared_models.timing.garden_timing import GardenInSeason
from shared_models.timing.ground import TimingGround
from shared_models.timing.parts import GardenTiming
from shared_models.timing.work_done import TrapAsItHangs, WorkDone, traps_as_they_hang
from shared_models.vocabulary import BAGGING, DROPS_ROUND, Round

BAND = "trunk_band"
BANDS_BEFORE = timedelta(days=366)  # bands of last season say that they are this garden's way
OFF_AGAIN = timedelta(days=30)  # a band job so near to the day of taking them off took them off


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do: a sentence, the rule (its key) with figure and source as the reason, days since it was last done."""

    kind: DueKind
    sentence: str
    garden: str
    trap: str | None
    days: int | None
    reason: str = ""
    rule: str = ""


class GardensToday:
    """Every garden in the season that runs there on a day (today), read once."""

    def __init__(self, store: PhoneStore, day: date | None = None) -> None:
        self._store = store
        self.day = day or today(store)
        self._rules = WorkRules(own_rules(store))
        self._places = gardens(store)
        self._trees = TreeList(store)

    @cached_property
    def timings(self) -> dict[str, GardenTiming]:
        """The timing of each garden."""
        return {garden: one.timing() for garden, one in self._in_season.items()}

    def due(self) -> Iterator[Due]:
        """The due lines, garden after garden in their order, traps in walking order."""
        for garden in self._places:
            yield from self._of_garden(garden)

    def _of_garden(self, garden: Garden) -> Iterator[Due]:
        one = self._in_season[garden.rec]
        hanging = [trap for trap in self._traps[one.season.key] if trap.garden == garden.rec]
        reaches = self._rules.value("hang_traps")
        band = one.reaches(reaches) if reaches is not None and not hanging else None
        here = GardenToday(
            season=one.season,
            day=self.day,
            timing=self.timings[garden.rec],
            traps=hanging,
            stages=stages_seen(one.records.all(Stage), one.orchard, garden.rec, self.day),
            done=self._done(garden.rec, one.season),
            rules=self._rules,
            warmth=one.warmth(14),
            flight_due=band.earliest if band else None,
        )
        labels = {trap.trap: trap.label for trap in hanging}
        for line in due_work(here):
            yield _spoken(line, garden.name, labels.get(line.trap or "", ""))

    # -- what is known of each garden
    @cached_property
    def _grounds(self) -> dict[str, TimingGround]:
        keys = {season_of(self.day, garden.hemisphere) for garden in self._places}
        return {key: self._store.few.timing_ground(key) for key in sorted(keys)}

    @cached_property
    def _in_season(self) -> dict[str, GardenInSeason]:
        return {
            garden.rec: GardenInSeason(self._grounds[key], garden, self.day)
            for garden in self._places
            for key in [season_of(self.day, garden.hemisphere)]
        }

    @cached_property
    def _traps(self) -> dict[str, list[TrapAsItHangs]]:
        return {key: traps_as_they_hang(ground.season) for key, ground in self._grounds.items()}

    # -- what was done
    def _done(self, garden: str, season: Season) -> WorkDone:
        jobs = [job for job in self._jobs if self._garden_of_job(job) == garden and job.moment.last]
        last = {method: _last(jobs, method, season) for method in (DROPS_ROUND, BAGGING)}
        bands = [job.moment.last for job in jobs if job.method == BAND and job.moment.last]
        off = day_of_rule(published_rules()["bands_off"], season)
        on_until = off - OFF_AGAIN if off else season.last_day
        return WorkDone(
            trees=len(self._trees.standing(garden)),
            drops=_later(self._last_visit(garden, Round.DROPS, season), last[DROPS_ROUND]),
            bagging=_later(self._last_visit(garden, Round.BAGGING, season), last[BAGGING]),
            bag_check=self._last_of_trees(BagCheck, garden, season),
            picked=self._last_of_trees(Pick, garden, season),
            bands_on=max((day for day in bands if season.first_day <= day < on_until), default=None),
            bands_off=max((day for day in bands if on_until <= day <= season.last_day), default=None),
            bands=bool(bands),
        )

    @cached_property
    def _first_day(self) -> date:
        return min((season_named(key).first_day for key in self._grounds), default=date(self.day.year, 1, 1))

    @cached_property
    def _jobs(self) -> list[Job]:
        return self._store.few.begun_since(Job, self._first_day - BANDS_BEFORE)

    @cached_property
    def _visits(self) -> dict[tuple[str, ...], date]:
        return self._store.few.last_days(Visit, ("tree", "round"), self._first_day)

    def _last_visit(self, garden: str, round: Round, season: Season) -> date | None:
        return _newest(
            season,
            (
                day
                for (tree, kind), day in self._visits.items()
                if kind == round and self._garden_of(tree) == garden
            ),
        )

    def _last_of_trees(self, kind: type[Record], garden: str, season: Season) -> date | None:
        found = self._store.few.last_days(kind, ("tree",), season.first_day)
        return _newest(season, (day for (tree,), day in found.items() if self._garden_of(tree) == garden))

    @cached_property
    def _gardens_of_trees(self) -> dict[str, str]:
        return {line.tree: line.garden for line in self._trees.all()}

    def _garden_of(self, tree: str) -> str | None:
        return self._gardens_of_trees.get(self._trees.one(tree))

    def _garden_of_job(self, job: Job) -> str | None:
        return job.garden or next((found for tree in job.trees if (found := self._garden_of(tree))), None)


def _spoken(line: DueLine, garden: str, trap: str) -> Due:
    sentence = due_sentence(line, garden, trap)
    return Due(line.kind, sentence, line.garden, line.trap, line.days, due_reason(line), line.rule.key)


def _last(jobs: list[Job], method: str, season: Season) -> date | None:
    return _newest(season, (job.moment.last for job in jobs if job.method == method))


def _newest(season: Season, days: Iterator[date | None]) -> date | None:
    return max((day for day in days if day and season.holds(day)), default=None)


def _later(one: date | None, other: date | None) -> date | None:
    return max((day for day in (one, other) if day), default=None)

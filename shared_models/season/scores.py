"""From picks, marks and numbers to samples: for each row of a tree, what was scored on each day and what was picked.

Scored n = clean + sting + deep entry + damaged + other insect + other; *not sure* stands outside n and is shown.
The worst codling-moth mark of a fruit counts. Visits of one row and day are one sample.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache

from shared_models.calculations.weighted_samples import Sample
from shared_models.records.tallies import Pick, Visit
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords, TallyCount
from shared_models.vocabulary import AllScored, Cover, Fruit, Round, Source, Tallied

DAMAGE = (Fruit.DEEP_ENTRY, Fruit.DAMAGED, Fruit.STING)  # worst first
OTHERS = (Fruit.OTHER_INSECT, Fruit.OTHER)


@dataclass(slots=True)
class Scores:
    """Fruit of one row and day by what it was scored [fruit]; `estimated` is how many of them are no exact count."""

    by_fruit: dict[Fruit, float] = field(default_factory=dict)
    unscored: float = 0
    estimated: float = 0

    @property
    def scored(self) -> float:
        """Fruit that counts in a rate: all but not sure."""
        return sum(n for fruit, n in self.by_fruit.items() if fruit is not Fruit.NOT_SURE)

    @property
    def damaged(self) -> float:
        """Fruit with codling-moth damage."""
        return sum(self.by_fruit.get(fruit, 0) for fruit in DAMAGE)

    @property
    def deep(self) -> float | None:
        """Fruit with a deep entry; None where damage was not told apart."""
        return None if self.by_fruit.get(Fruit.DAMAGED) else self.by_fruit.get(Fruit.DEEP_ENTRY, 0)

    def of(self, *fruit: Fruit) -> float:
        """Fruit of these categories together."""
        return sum(self.by_fruit.get(one, 0) for one in fruit)

    def add(self, count: TallyCount) -> None:
        """Take in one counted kind of mark."""
        kind = worst(count.marks)
        if kind is None:
            self.unscored += count.n
        else:
            self.by_fruit[kind] = self.by_fruit.get(kind, 0) + count.n
        if count.estimated:
            self.estimated += count.n


@dataclass(frozen=True, slots=True, order=True)
class RowKey:
    """What makes a row: tree, place and cover on it, and where the fruit came from."""

    tree: str
    place: str
    cover: str
    source: str


@dataclass(frozen=True)
class DaySample:
    """One row on one day: what was scored, and how many were picked in all (None where that is not known)."""

    day: date | None
    scores: Scores
    total: float | None
    picks: int = 0
    less_than_scored: bool = False

    @cached_property
    def sample(self) -> Sample:
        """The sample of codling-moth damage for the calculations."""
        return Sample(total=self.total, scored=self.scores.scored, damaged=self.scores.damaged)

    @property
    def deep_sample(self) -> Sample | None:
        """The sample of deep entries alone, where they were told apart."""
        deep = self.scores.deep
        return None if deep is None else Sample(total=self.total, scored=self.scores.scored, damaged=deep)


def added_up(parts: Iterable[Scores]) -> Scores:
    """Several scores as one; what was adjusted below none is none."""
    whole: dict[Fruit, float] = {}
    unscored = estimated = 0.0
    for part in parts:
        for fruit, n in part.by_fruit.items():
            whole[fruit] = whole.get(fruit, 0) + n
        unscored += part.unscored
        estimated += part.estimated
    return Scores({fruit: max(0.0, n) for fruit, n in whole.items()}, unscored, estimated)


@lru_cache(maxsize=1024)  # a season has a few dozen sets of marks, each on thousands of fruit
def worst(marks: str) -> Fruit | None:
    """The category that a fruit with these marks (joined by "+") counts as; None where it was not scored.

    >>> worst("other+sting"), worst("clean")
    (<Fruit.STING: 'sting'>, <Fruit.CLEAN: 'clean'>)
    """
    named = {Fruit(mark) for mark in marks.split("+") if mark}
    order = (*DAMAGE, *OTHERS, Fruit.NOT_SURE, Fruit.CLEAN)
    return next((fruit for fruit in order if fruit in named), None)


def day_samples(records: SeasonRecords, orchard: Orchard) -> dict[RowKey, list[DaySample]]:
    """The samples of every row of the season, by day."""
    return _Sampler(records, orchard).samples()


@dataclass(frozen=True, slots=True)
class _Scored:
    """What a visit says of the fruit tallied on it: its tree, its day, the pick it came from, whether it lay there."""

    tree: str
    day: date | None
    pick: str
    usual_source: Source


class _Sampler:
    def __init__(self, records: SeasonRecords, orchard: Orchard) -> None:
        self._orchard = orchard
        self._season = records.season
        self._picks = {pick.rec: pick for pick in records.all(Pick)}
        self._visits = {visit.rec: self._scored(visit) for visit in records.all(Visit)}
        self._scores: dict[tuple[RowKey, date | None], dict[str, Scores]] = {}
        for count in records.tallies:
            self._take(count)
        self._picks_of = self._group_picks()

    def samples(self) -> dict[RowKey, list[DaySample]]:
        rows: dict[RowKey, list[DaySample]] = {}
        for key, day in sorted(self._scores, key=lambda item: (item[0], item[1] or date.min)):
            rows.setdefault(key, []).append(self._sample(key, day))
        for key, day, total, picks in self._picked_and_not_scored():
            rows.setdefault(key, []).append(DaySample(day, Scores(), total, picks))
        return {key: sorted(days, key=lambda one: one.day or date.min) for key, days in rows.items()}

    def _picked_and_not_scored(self) -> Iterator[tuple[RowKey, date | None, float | None, int]]:
        """Picks of which nothing was scored; a total for the whole of a tree that was scored in parts is none."""
        scored_trees = {(key.tree, day) for key, day in self._scores if key.source == Source.PICKED}
        for (tree, place, cover, day), picks in self._picks_of.items():
            key = RowKey(tree, place, cover, Source.PICKED)
            of_all_parts = place == "whole" and cover == Cover.NONE and (tree, day) in scored_trees
            if (key, day) not in self._scores and not of_all_parts:
                yield key, day, _sum_of_totals(picks), len(picks)

    def _take(self, count: TallyCount) -> None:
        visit = self._visits.get(count.visit)
        if visit is None or count.what != Tallied.FRUIT:
            return
        source = count.source or visit.usual_source
        if visit.tree not in self._orchard.trees or self._is_june_drop(source, visit.day):
            return
        key = RowKey(visit.tree, count.place, count.cover, source)
        by_pick = self._scores.setdefault((key, visit.day), {})
        if visit.pick not in by_pick:
            by_pick[visit.pick] = Scores()
        by_pick[visit.pick].add(count)

    def _scored(self, visit: Visit) -> _Scored:
        usual = Source.DROP if visit.round is Round.DROPS else Source.PICKED
        return _Scored(self._orchard.one(visit.tree), self._day(visit), visit.pick or "", usual)

    def _day(self, visit: Visit) -> date | None:
        """The day of the sample: that of the pick, so that stored fruit scored later belongs to its picking."""
        pick = self._picks.get(visit.pick or "")
        return (pick or visit).moment.day

    def _is_june_drop(self, source: str, day: date | None) -> bool:
        return source == Source.DROP and day is not None and day < self._season.june_drop_ends

    def _group_picks(self) -> dict[tuple[str, str, str, date | None], list[Pick]]:
        grouped: dict[tuple[str, str, str, date | None], list[Pick]] = {}
        for pick in self._picks.values():
            tree = self._orchard.one(pick.tree)
            if tree in self._orchard.trees:
                grouped.setdefault((tree, pick.place, pick.cover, pick.moment.day), []).append(pick)
        return grouped

    def _sample(self, key: RowKey, day: date | None) -> DaySample:
        by_pick = self._scores[key, day]
        scores = added_up(by_pick.values())
        if key.source != Source.PICKED:
            return DaySample(day, scores, scores.scored + scores.of(Fruit.NOT_SURE) + scores.unscored)
        picks = self._picks_of.get((key.tree, key.place, key.cover, day), [])
        total = self._total(key, by_pick, picks)
        if total is not None and total < scores.scored:
            return DaySample(day, scores, scores.scored, len(picks), less_than_scored=True)
        return DaySample(day, scores, total, len(picks))

    def _total(self, key: RowKey, by_pick: dict[str, Scores], picks: list[Pick]) -> float | None:
        """T: the typed totals of the row's picks, else what was scored where all was scored, else unknown."""
        if not picks:
            named = [self._picks.get(pick) for pick in by_pick]
            all_scored = all(pick is not None and pick.all_scored is AllScored.YES for pick in named)
            return added_up(by_pick.values()).scored if all_scored else None
        total = 0.0
        for pick in _speaking(picks):
            own = pick.typed_total
            if own is None and pick.all_scored is AllScored.YES:
                of_pick = by_pick.get(pick.rec) if len(picks) > 1 else added_up(by_pick.values())
                own = of_pick.scored if of_pick else 0
            if own is None:
                return None
            total += own
        return total


def _speaking(picks: list[Pick]) -> list[Pick]:
    """The picks that say how many there were: a second helper's pick that says nothing adds nothing to the first's."""
    told = [
        pick for pick in picks if pick.typed_total is not None or pick.all_scored is not AllScored.NOT_SAID
    ]
    return told or picks


def _sum_of_totals(picks: Iterable[Pick]) -> float | None:
    totals = [pick.typed_total for pick in picks]
    return sum(total for total in totals if total is not None) if None not in totals else None

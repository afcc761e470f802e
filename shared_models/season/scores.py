"""From picks, marks and numbers to samples: for each row of a tree, what was scored on each day and what was picked.

Scored n = clean + sting + deep entry + damaged + other insect + other; *not sure* stands outside n and is shown.
The worst codling-moth mark of a fruit counts. Visits of one row and day are one sample.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache
from typing import NamedTuple

from shared_models.calculations.weighted_samples import Sample
from shared_models.records.tallies import Pick, Visit
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords, TallyCount
from shared_models.vocabulary import AllScored, Certainty, Cover, Fruit, Round, Source, Tallied

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
        if Fruit.NOT_SURE not in self.by_fruit:  # as most are; asked many times for every tree
            return sum(self.by_fruit.values())
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


class RowKey(NamedTuple):
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
    total_estimated: bool = False

    @cached_property
    def sample(self) -> Sample:
        """The sample of codling-moth damage for the calculations."""
        return Sample(total=self.total, scored=self.scores.scored, damaged=self.scores.damaged)

    @property
    def estimated(self) -> bool:
        """Whether some of it is no exact count: scores, or the total (by weight, or said so)."""
        return bool(self.scores.estimated) or self.total_estimated

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
    return Scores({fruit: max(0.0, n) for fruit, n in whole.items()}, max(0.0, unscored), estimated)


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
class _Occasion:
    """What makes a sample: the field day, for a span its last day; where that is not known, one pick or visit."""

    day: date | None
    of: str = ""

    @property
    def order(self) -> tuple[date, str]:
        """By day, unknown ones first."""
        return (self.day or date.min, self.of)


@dataclass(frozen=True, slots=True)
class _Scored:
    """What a visit says of the fruit tallied on it: its tree, when, the pick it came from, whether it lay there."""

    tree: str
    occasion: _Occasion
    pick: str
    usual_source: Source


class _Sampler:
    def __init__(self, records: SeasonRecords, orchard: Orchard) -> None:
        self._orchard = orchard
        self._season = records.season
        self._picks = {pick.rec: pick for pick in records.all(Pick)}
        self._visits = {visit.rec: self._scored(visit) for visit in records.all(Visit)}
        self._scores: dict[tuple[RowKey, _Occasion], dict[str, Scores]] = {}
        for count in records.tallies:
            self._take(count)
        self._picks_of = self._group_picks()

    def samples(self) -> dict[RowKey, list[DaySample]]:
        found = [(key, occasion, self._sample(key, occasion)) for key, occasion in self._scores]
        rows: dict[RowKey, list[DaySample]] = {}
        for key, _, sample in sorted([*found, *self._not_scored()], key=lambda one: (one[0], one[1].order)):
            rows.setdefault(key, []).append(sample)
        return rows

    def _not_scored(self) -> Iterator[tuple[RowKey, _Occasion, DaySample]]:
        """Picks of which nothing was scored; a total for the whole of a tree that was scored in parts is none."""
        scored_trees = {(key.tree, occasion) for key, occasion in self._scores if key.source == Source.PICKED}
        for (tree, place, cover, occasion), picks in self._picks_of.items():
            key = RowKey(tree, place, cover, Source.PICKED)
            of_all_parts = place == "whole" and cover == Cover.NONE and (tree, occasion) in scored_trees
            if (key, occasion) not in self._scores and not of_all_parts:
                yield key, occasion, _of_picks(occasion.day, Scores(), _sum_of_totals(picks), picks)

    def _take(self, count: TallyCount) -> None:
        visit = self._visits.get(count.visit)
        if visit is None or count.what != Tallied.FRUIT:
            return
        source = count.source or visit.usual_source
        if visit.tree not in self._orchard.trees or self._is_june_drop(source, visit.occasion.day):
            return
        key = RowKey(visit.tree, count.place, count.cover, source)
        by_pick = self._scores.setdefault((key, visit.occasion), {})
        if visit.pick not in by_pick:
            by_pick[visit.pick] = Scores()
        by_pick[visit.pick].add(count)

    def _scored(self, visit: Visit) -> _Scored:
        usual = Source.DROP if visit.round is Round.DROPS else Source.PICKED
        # Stored fruit scored later belongs to its picking.
        occasion = _occasion(self._picks.get(visit.pick or "") or visit)
        return _Scored(self._orchard.one(visit.tree), occasion, visit.pick or "", usual)

    def _is_june_drop(self, source: str, day: date | None) -> bool:
        return source == Source.DROP and day is not None and day < self._season.june_drop_ends

    def _group_picks(self) -> dict[tuple[str, str, str, _Occasion], list[Pick]]:
        grouped: dict[tuple[str, str, str, _Occasion], list[Pick]] = {}
        for pick in self._picks.values():
            tree = self._orchard.one(pick.tree)
            if tree in self._orchard.trees:
                grouped.setdefault((tree, pick.place, pick.cover, _occasion(pick)), []).append(pick)
        return grouped

    def _sample(self, key: RowKey, occasion: _Occasion) -> DaySample:
        by_pick = self._scores[key, occasion]
        scores = added_up(by_pick.values())
        if key.source != Source.PICKED:
            in_all = scores.scored + scores.of(Fruit.NOT_SURE) + scores.unscored
            return DaySample(occasion.day, scores, in_all)
        picks = self._picks_of.get((key.tree, key.place, key.cover, occasion), [])
        return _of_picks(occasion.day, scores, self._total(by_pick, picks), picks)

    def _total(self, by_pick: dict[str, Scores], picks: list[Pick]) -> float | None:
        """T: the typed totals of the row's picks, else what was scored where all was scored, else unknown."""
        if not picks:
            named = [self._picks.get(pick) for pick in by_pick]
            all_scored = all(pick is not None and pick.all_scored is AllScored.YES for pick in named)
            return added_up(by_pick.values()).scored if all_scored else None
        total = 0.0
        for pick in _speaking(picks) or picks:
            own = pick.typed_total
            if own is None and pick.all_scored is AllScored.YES:
                of_pick = by_pick.get(pick.rec) if len(picks) > 1 else added_up(by_pick.values())
                own = of_pick.scored if of_pick else 0
            if own is None:
                return None
            total += own
        return total


def _of_picks(day: date | None, scores: Scores, total: float | None, picks: list[Pick]) -> DaySample:
    """A sample of picked fruit; a total below what was scored is raised to it and marked."""
    told = _speaking(picks)
    less = total is not None and total < scores.scored
    return DaySample(
        day=day,
        scores=scores,
        total=scores.scored if less else total,
        picks=len(told),
        less_than_scored=less,
        total_estimated=any(_is_estimated(pick) for pick in told),
    )


def _occasion(record: Pick | Visit) -> _Occasion:
    last = record.moment.last
    return _Occasion(last) if last else _Occasion(None, record.rec)


def _speaking(picks: list[Pick]) -> list[Pick]:
    """The picks that say how many there were: a second helper's pick that says nothing adds nothing to the first's."""
    return [
        pick for pick in picks if pick.typed_total is not None or pick.all_scored is not AllScored.NOT_SAID
    ]


def _is_estimated(pick: Pick) -> bool:
    by_weight = pick.total is None and pick.typed_total is not None
    return by_weight or (pick.typed_total is not None and pick.total_certainty is Certainty.ESTIMATED)


def _sum_of_totals(picks: list[Pick]) -> float | None:
    totals = [pick.typed_total for pick in _speaking(picks) or picks]
    return sum(total for total in totals if total is not None) if None not in totals else None

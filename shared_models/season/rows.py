"""From one season's records to season rows: tree × place × cover × method mix × source. All comparisons start here.

The rows do not change with the order or repetition of entries, with which phone recorded what, with splitting a
visit in two, merging two records of one tree, the reader's zone or the unit of weight.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from shared_models.calculations.weighted_samples import Sample, WeightedRate, combine, of_all_fruit
from shared_models.records.gardens import LeftOut
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.season.choice import EVERYTHING, Choice, Counted, Damage
from shared_models.season.mixes import Mix, Treatments
from shared_models.season.orchard import Orchard
from shared_models.season.scores import DaySample, RowKey, Scores, added_up, day_samples
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import Cover, Round, Source


@dataclass(frozen=True)
class SeasonRow:
    """One row: its key, the mix it really had (None: not recorded), and its samples by day."""

    key: RowKey
    mix: Mix | None
    samples: list[DaySample]

    @cached_property
    def scored(self) -> float:
        """Fruit scored on all days together."""
        return sum(one.sample.scored for one in self.samples)

    @cached_property
    def scores(self) -> Scores:
        """The scores of all days added up, for showing what was found."""
        if len(self.samples) == 1:
            return self.samples[0].scores
        return added_up(one.scores for one in self.samples)


@dataclass(frozen=True, slots=True)
class TreeInMix:
    """One tree's part in a mix: its picked fruit over all places and days, and all its fruit where that is known."""

    tree: str
    mix: Mix
    picked: WeightedRate
    picked_deep: WeightedRate | None
    all_fruit: WeightedRate | None
    scored: float
    damaged: float
    all_scored: float
    all_damaged: float


@dataclass(frozen=True, slots=True)
class SeasonRows:
    """The rows of a season, with what they were made from, and what of it is looked at."""

    records: SeasonRecords
    orchard: Orchard
    treatments: Treatments
    rows: list[SeasonRow]
    left_out: dict[str, LeftOut] = field(default_factory=dict)
    choice: Choice = EVERYTHING

    def looked_at(self, tree: str) -> bool:
        """Whether a tree is among those that are looked at."""
        return self.choice.cultivar is None or self.orchard.cultivars.get(tree) == self.choice.cultivar

    def of_tree(self, tree: str) -> list[SeasonRow]:
        """The rows of one tree."""
        return [row for row in self.rows if row.key.tree == tree]


def rows_of(records: SeasonRecords, choice: Choice = EVERYTHING) -> SeasonRows:
    """Make the rows of a season, of the trees that are looked at."""
    orchard = Orchard(records)
    treatments = Treatments(records, orchard)
    left_out = {orchard.one(one.tree): one for one in reversed(records.all(LeftOut))}
    season = SeasonRows(records, orchard, treatments, [], left_out, choice)
    season.rows.extend(
        SeasonRow(key, treatments.mix(key.tree, key.place, key.cover), samples)
        for key, samples in sorted(day_samples(records, orchard).items())
        if season.looked_at(key.tree)
    )
    return season


def trees_in_mixes(season: SeasonRows) -> list[TreeInMix]:
    """Each tree once in each mix that its picked fruit had. Left out and not recorded trees are not among them."""
    picked: dict[tuple[str, Mix], list[SeasonRow]] = {}
    for row in season.rows:
        if row.key.source == Source.PICKED and row.mix and row.key.tree not in season.left_out and row.scored:
            picked.setdefault((row.key.tree, row.mix), []).append(row)
    others = _Others(season)
    asked = season.choice.damage
    return [
        _tree_in_mix(tree, mix, rows, others, asked)
        for (tree, mix), rows in picked.items()
        if asked is Damage.ANY or told_apart(rows)
    ]


def told_apart(rows: Iterable[SeasonRow]) -> bool:
    """Whether sting and deep entry were told apart on all days of these rows."""
    return all(day.deep_sample is not None for row in rows for day in row.samples)


def _tree_in_mix(tree: str, mix: Mix, rows: list[SeasonRow], others: "_Others", asked: Damage) -> TreeInMix:
    days = [day for row in rows for day in row.samples]
    deep = [day.deep_sample for day in days]
    told = [sample for sample in deep if sample is not None]
    samples = told if asked is Damage.DEEP else [day.sample for day in days]
    picked = combine(samples)
    beside = others.of_part(tree, mix)
    scored, damaged = _counted(samples)
    more_scored, more_damaged = _counted(sample for samples in beside for sample in samples)
    return TreeInMix(
        tree=tree,
        mix=mix,
        picked=picked,
        picked_deep=combine(told) if len(told) == len(days) else None,
        all_fruit=of_all_fruit(samples, *beside) if others.known(tree, mix) else None,
        scored=scored,
        damaged=damaged,
        all_scored=scored + more_scored,
        all_damaged=damaged + more_damaged,
    )


def _counted(samples: Iterable[Sample]) -> tuple[float, float]:
    counted = list(samples)
    return sum(one.scored for one in counted), sum(one.damaged for one in counted)


class _Others:
    """Drops and removed fruit beside the picked: of all fruit only where they were recorded for the tree."""

    def __init__(self, season: SeasonRows) -> None:
        self._season = season
        self._rows: dict[str, list[SeasonRow]] = {}
        for row in season.rows:
            self._rows.setdefault(row.key.tree, []).append(row)
        self._drops_seen = _trees_with_drops_visits(season)
        self._removed_unseen = _trees_with_unnumbered_removals(season)

    def known(self, tree: str, mix: Mix) -> bool:
        """Whether drops and removed fruit of this part of a tree are all known, as it is asked for them.

        They are where they were counted, where it was said of which part they were, and what their damage was.
        """
        choice = self._season.choice
        seen = tree in self._drops_seen and tree not in self._removed_unseen
        if choice.fruit is Counted.PICKED or not seen or self._of_no_part(tree, mix):
            return False
        return choice.damage is Damage.ANY or told_apart(row for row in self._beside(tree) if row.mix == mix)

    def of_part(self, tree: str, mix: Mix) -> tuple[list[Sample], list[Sample]]:
        """The days of drops and of removed fruit that are of this part of the tree."""
        drops, removed = (
            [
                day.deep_sample or day.sample if self._season.choice.damage is Damage.DEEP else day.sample
                for row in self._beside(tree)
                if row.mix == mix and row.key.source == source
                for day in row.samples
            ]
            for source in (Source.DROP, Source.REMOVED)
        )
        return drops, removed

    def _beside(self, tree: str) -> list[SeasonRow]:
        return [row for row in self._rows[tree] if row.key.source != Source.PICKED]

    def _of_no_part(self, tree: str, mix: Mix) -> bool:
        """Whether fruit fell of which it was not said from which of the tree's parts, that had different mixes."""
        in_parts = self._season.treatments.has_bags(tree)
        whole = [row for row in self._beside(tree) if row.key.cover == Cover.NONE]
        return any(in_parts or (row.key.place == "whole" and row.mix != mix) for row in whole)


def _trees_with_drops_visits(season: SeasonRows) -> set[str]:
    """Trees with a drops visit between June drop and their last pick that counted any, or said that there were none."""
    last = _last_pick_days(season.rows)
    counted = {count.visit for count in season.records.tallies if count.n > 0}
    seen = set()
    for visit in season.records.all(Visit):
        tree, day = season.orchard.one(visit.tree), visit.moment.last
        counts = visit.round is Round.DROPS and (visit.nothing_found or visit.rec in counted)
        if counts and day and season.records.season.june_drop_ends <= day <= last.get(tree, day):
            seen.add(tree)
    return seen


def _last_pick_days(rows: Iterable[SeasonRow]) -> dict[str, date]:
    last: dict[str, date] = {}
    for row in rows:
        for one in row.samples:
            if row.key.source == Source.PICKED and one.day:
                last[row.key.tree] = max(one.day, last.get(row.key.tree, one.day))
    return last


def _trees_with_unnumbered_removals(season: SeasonRows) -> set[str]:
    """Trees of which fruit was removed in a job that has no number for them."""
    numbered = {
        (row.key.tree, one.day)
        for row in season.rows
        if row.key.source == Source.REMOVED
        for one in row.samples
    }
    found = set()
    for job in season.records.all(Job):
        if job.removed_damaged:
            trees = {season.orchard.one(tree) for tree in job.trees}
            if job.garden and not job.trees:
                trees = set(season.orchard.of_garden(job.garden, job.moment.last))
            found |= {tree for tree in trees if (tree, job.moment.last) not in numbered}
    return found


def together(rows: Iterable[SeasonRow]) -> Scores:
    """All scores of several rows added up."""
    return added_up(one.scores for row in rows for one in row.samples)

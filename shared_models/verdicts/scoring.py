"""How the trees of a season were scored: by whom, when, and how much of it was other harm. Knows no comparison."""

from collections.abc import Iterable
from datetime import date
from functools import cached_property

from shared_models.records.jobs import Job
from shared_models.records.tallies import Adjustment, Visit
from shared_models.season.rows import SeasonRow, SeasonRows
from shared_models.verdicts.compared import ComparedTree
from shared_models.vocabulary import DROPS_ROUND, Fruit, Round, Source, Tallied


class Scoring:
    """Asked tree by tree."""

    def __init__(self, season: SeasonRows) -> None:
        self._season = season

    @cached_property
    def _rows(self) -> dict[tuple[str, str], list[SeasonRow]]:
        found: dict[tuple[str, str], list[SeasonRow]] = {}
        for row in self._season.rows:
            if row.mix and row.key.source == Source.PICKED:
                found.setdefault((row.key.tree, row.mix.key), []).append(row)
        return found

    @cached_property
    def _scorers(self) -> dict[str, set[str]]:
        one = self._season.orchard.one
        found: dict[str, set[str]] = {}
        for visit in self._season.records.all(Visit):
            if visit.round is Round.PICKING:
                found.setdefault(one(visit.tree), set()).add(visit.person)
        return found

    @cached_property
    def tended(self) -> set[str]:
        """Trees whose drops were picked up or whose fruit was taken off, by what was recorded of the tree itself."""
        one = self._season.orchard.one
        jobs = (
            job for job in self._season.records.all(Job) if job.removed_damaged or job.method == DROPS_ROUND
        )
        visits = (visit for visit in self._season.records.all(Visit) if visit.round is Round.DROPS)
        return {one(tree) for job in jobs for tree in job.trees} | {one(visit.tree) for visit in visits}

    @cached_property
    def _drops_days(self) -> dict[str, set[date]]:
        one, start = self._season.orchard.one, self._season.records.season.june_drop_ends
        found: dict[str, set[date]] = {}
        for visit in self._season.records.all(Visit):
            if visit.round is Round.DROPS and (day := visit.moment.last) and day >= start:
                found.setdefault(one(visit.tree), set()).add(day)
        return found

    @cached_property
    def _first_bags(self) -> dict[str, date]:
        one = self._season.orchard.one
        found: dict[str, date] = {}
        for visit in self._season.records.all(Visit):
            if visit.round is Round.BAGGING and (day := visit.moment.first):
                tree = one(visit.tree)
                found[tree] = min(day, found.get(tree, day))
        return found

    @cached_property
    def _corrected(self) -> dict[str, float]:
        """Fruit by which scores of each tree were changed by somebody afterwards."""
        one = self._season.orchard.one
        trees = {visit.rec: one(visit.tree) for visit in self._season.records.all(Visit)}
        found: dict[str, float] = {}
        for change in self._season.records.all(Adjustment):
            tree = trees.get(change.visit)
            if tree and change.what == Tallied.FRUIT:
                found[tree] = found.get(tree, 0.0) + abs(change.n)
        return found

    def drops_days(self, tree: ComparedTree) -> int:
        """On how many days drops of this tree were looked for, from June drop on."""
        return len(self._drops_days.get(tree.tree, ()))

    def bagged_late(self, trees: Iterable[str]) -> list[str]:
        """Those of which the first bag was put on after June drop: damage shows by then, and sound fruit is chosen."""
        ends = self._season.records.season.june_drop_ends
        return [tree for tree in trees if tree in self._first_bags and self._first_bags[tree] > ends]

    def corrected(self, trees: Iterable[ComparedTree]) -> float:
        """Share of the scored fruit of these trees that somebody changed afterwards [0..1]."""
        side = list(trees)
        scored = sum(tree.share.scored for tree in side)
        return sum(self._corrected.get(tree.tree, 0.0) for tree in side) / scored if scored else 0.0

    def size(self, tree: ComparedTree) -> str | None:
        """The size class of a tree, where it was noted."""
        return self._season.orchard.trees[tree.tree].size

    def scorers(self, trees: Iterable[ComparedTree]) -> set[str]:
        """Who scored these trees."""
        return {person for tree in trees for person in self._scorers.get(tree.tree, ())}

    def mean_day(self, trees: Iterable[ComparedTree]) -> date | None:
        """The day on which the fruit of these trees was picked on average; None where no day is known."""
        weighed = [
            (one.day.toordinal(), one.sample.scored)
            for row in self._of(trees)
            for one in row.samples
            if one.day and one.sample.scored
        ]
        fruit = sum(scored for _, scored in weighed)
        if not fruit:
            return None
        return date.fromordinal(round(sum(day * scored for day, scored in weighed) / fruit))

    def other_harm(self, trees: Iterable[ComparedTree]) -> float:
        """Share of the scored fruit that had other harm than insects: scab, hail, birds [0..1]."""
        rows = self._of(trees)
        scored = sum(row.scored for row in rows)
        return sum(row.scores.of(Fruit.OTHER) for row in rows) / scored if scored else 0.0

    def _of(self, trees: Iterable[ComparedTree]) -> list[SeasonRow]:
        return [row for tree in trees for row in self._rows.get((tree.tree, tree.share.mix.key), [])]

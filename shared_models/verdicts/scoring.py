"""How the trees of a season were scored: by whom, when, and how much of it was other harm. Knows no comparison."""

from collections.abc import Iterable
from datetime import date
from functools import cached_property

from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.season.rows import SeasonRow, SeasonRows
from shared_models.verdicts.compared import ComparedTree
from shared_models.vocabulary import DROPS_ROUND, Fruit, Round, Source


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

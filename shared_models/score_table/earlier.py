"""What an earlier table said of some trees and seasons. A record of a table is known by its id, derived from itself."""

from collections.abc import Iterable, Iterator

from shared_models.records.fields import Record
from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.records.tallies import NumberAtOnce, Pick, Visit
from shared_models.score_table import records as made
from shared_models.score_table.ground import Records
from shared_models.score_table.records import TreeInTable
from shared_models.vocabulary import Fruit


def said_earlier(records: Records, trees: Iterable[TreeInTable]) -> Iterator[Record]:
    """Jobs, declarations, picks and scores that a table gave to these trees and seasons, as far as they are live."""
    named: dict[str, list[TreeInTable]] = {}
    for tree in trees:
        named.setdefault(tree.tree, []).append(tree)
    yield from _jobs(records, named)
    yield from _declarations(records, named)
    yield from _scores(records, named)


_Named = dict[str, list[TreeInTable]]


def _jobs(records: Records, named: _Named) -> Iterator[Record]:
    for job in records.all(Job):
        trees = named.get(job.trees[0], []) if len(job.trees) == 1 else []
        if job.rec in {made.job_id(one.tree, one.season, job.method) for one in trees}:
            yield job


def _declarations(records: Records, named: _Named) -> Iterator[Record]:
    for line in records.all(PlanLine):
        if line.rec in {made.declaration_id(one.tree, one.season) for one in named.get(line.tree, [])}:
            yield line


def _scores(records: Records, named: _Named) -> Iterator[Record]:
    picks = {
        pick.rec: pick
        for pick in records.all(Pick)
        if pick.rec
        in {made.pick_id(one.tree, one.season, pick.when, pick.cover) for one in named.get(pick.tree, [])}
    }
    visits = {made.visit_id(rec) for rec in picks}
    numbers = {made.number_id(rec, fruit) for rec in picks for fruit in (Fruit.CLEAN, Fruit.DAMAGED)}
    yield from picks.values()
    yield from (visit for visit in records.all(Visit) if visit.rec in visits)
    yield from (number for number in records.all(NumberAtOnce) if number.rec in numbers)

"""Bags put on, tree by tree: over visits took less left where given, else marks and numbers. Knows no method mix."""

from dataclasses import dataclass

from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import BAGGING, Cover, Tallied


@dataclass(frozen=True, slots=True)
class Bags:
    """Bags of one tree: put on in all, and whether something else says that it had bags.

    Fruit scored as bagged or as bare says so, and so does a bagging job, although the count may not be here yet.
    """

    put_on: float = 0
    spoken_of: bool = False

    @property
    def any(self) -> bool:
        """Whether this tree had bags at all."""
        return self.put_on > 0 or self.spoken_of


def bags_of_trees(records: SeasonRecords, orchard: Orchard) -> dict[str, Bags]:
    """The bags of each tree that was visited. Bags taken off later never reduce them."""
    tallied: dict[str, float] = {}
    in_parts: set[str] = set()
    for count in records.tallies:
        if count.what == Tallied.BAG:
            tallied[count.visit] = tallied.get(count.visit, 0) + count.n
        elif count.cover != Cover.NONE:
            in_parts.add(count.visit)
    put_on: dict[str, float] = {}
    spoken_of = _bagged_in_jobs(records, orchard)
    for visit in records.all(Visit):
        tree, box = orchard.one(visit.tree), visit.bags_by_the_box
        bags = box if box is not None else max(0.0, tallied.get(visit.rec, 0))
        put_on[tree] = put_on.get(tree, 0) + bags
        if visit.rec in in_parts:
            spoken_of.add(tree)
    return {tree: Bags(put_on.get(tree, 0), tree in spoken_of) for tree in put_on.keys() | spoken_of}


def _bagged_in_jobs(records: SeasonRecords, orchard: Orchard) -> set[str]:
    return {orchard.one(tree) for job in records.all(Job) if job.method == BAGGING for tree in job.trees}

"""Traps that were counted twice: pairs of visits that go back to one visit before them, for people to decide.

Until somebody decides, the earlier by (when, id) counts (`catches`). A decision is an edit of the visits themselves:

    both count        the second names the first as the visit before it
    only one counts   the other is taken back, and names the one that counts (`instead`)

Two people who take back one each while apart would lose both counts, so that pair is told again.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from shared_models.records.traps import TrapVisit
from shared_models.season.catches import catches, in_order
from shared_models.vocabulary import CountMode


@dataclass(frozen=True, slots=True)
class DoubleCount:
    """Two counts of the same moths at one trap; `none_counts` where each was taken back because of the other."""

    trap: str
    first: TrapVisit
    second: TrapVisit
    none_counts: bool = False

    @property
    def adds_difference(self) -> bool:
        """Whether the second says what is on the liner in all, so that only what came since the first is added."""
        return self.second.mode is CountMode.ON_LINER


def double_counts(live: Iterable[TrapVisit], undone: Iterable[TrapVisit] = ()) -> list[DoubleCount]:
    """All pairs among these visits, by trap and then in their order."""
    of_trap: dict[str, list[TrapVisit]] = {}
    for visit in live:
        of_trap.setdefault(visit.trap, []).append(visit)
    found = [one for trap in sorted(of_trap) for one in _at_trap(trap, of_trap[trap])]
    return found + _each_for_the_other(undone)


def _at_trap(trap: str, visits: list[TrapVisit]) -> list[DoubleCount]:
    by_rec = {visit.rec: visit for visit in visits}
    return [
        DoubleCount(trap, by_rec[one.double_of], by_rec[one.visit])
        for one in catches(visits)
        if one.double_of is not None
    ]


def _each_for_the_other(undone: Iterable[TrapVisit]) -> list[DoubleCount]:
    ordered = in_order(undone)
    by_rec = {visit.rec: visit for visit in ordered}
    found = []
    for visit in ordered:
        other = by_rec.get(visit.instead or "")
        if other and other.instead == visit.rec and ordered.index(visit) < ordered.index(other):
            found.append(DoubleCount(visit.trap, visit, other, none_counts=True))
    return sorted(found, key=lambda one: one.trap)

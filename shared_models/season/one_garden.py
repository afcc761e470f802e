"""A season's records cut down to one garden, so that its report can be read by itself. Knows no report and no words."""

from dataclasses import replace

from shared_models.records.fields import Record
from shared_models.records.gardens import Garden, Tree
from shared_models.records.jobs import Job
from shared_models.records.tallies import Adjustment, NumberAtOnce, Visit
from shared_models.records.traps import Placement, Trap, TrapVisit
from shared_models.season_records import SeasonRecords
from shared_models.trap_places import NOWHERE, trap_places


def of_garden(records: SeasonRecords, garden: str) -> SeasonRecords:
    """What of these records is about one garden: its trees, what was done to them, and its traps' visits there.

    Visits to a trap while it hung elsewhere stay beside, since what is on a liner was counted before it moved here.
    """
    cut = _Cut(records, garden)
    kept = {kind: [one for one in ones if cut.is_here(one)] for kind, ones in records.records.items()}
    visits = {visit.rec for visit in kept.get(Visit, [])}
    for kind in (NumberAtOnce, Adjustment):
        kept[kind] = [one for one in kept.get(kind, []) if getattr(one, "visit", None) in visits]
    elsewhere = [visit for visit in records.all(TrapVisit) if not cut.is_here(visit)]
    return replace(
        records,
        records=kept,
        tallies=[tally for tally in records.tallies if tally.visit in visits],
        unplaced=[one for one in records.unplaced if cut.is_here(one)],
        other_trap_visits=[*records.other_trap_visits, *elsewhere],
    )


class _Cut:
    """Tells of each record whether it is about the garden; what is about no garden at all is about every one."""

    def __init__(self, records: SeasonRecords, garden: str) -> None:
        self._garden = garden
        self._trees = {tree.rec for tree in records.all(Tree) if tree.garden == garden}
        self._known = {tree.rec for tree in records.all(Tree)} | {one.rec for one in records.all(Garden)}
        self._traps = {trap.rec: trap.garden for trap in records.all(Trap)}
        self._places = trap_places(records.all(Placement))

    def is_here(self, record: Record) -> bool:
        """Whether a record is about this garden."""
        if isinstance(record, Garden):
            return record.rec == self._garden
        if isinstance(record, Trap | Placement):
            return True  # it may have hung here for a while; its visits decide
        if isinstance(record, TrapVisit):
            there = self._places.get(record.trap, NOWHERE).garden_on(record.moment.last)
            return (there or self._traps.get(record.trap)) == self._garden
        if isinstance(record, Job):
            return record.garden == self._garden or any(tree in self._trees for tree in record.trees)
        return self._is_about(record)

    def _is_about(self, record: Record) -> bool:
        about = [getattr(record, name, None) for name in ("garden", "tree", "about")]
        named = {one for one in about if one in self._known}
        return not named or bool(named & (self._trees | {self._garden}))

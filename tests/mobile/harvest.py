"""Last year's harvest on a phone, so that the season has something to show. Invented."""

from __future__ import annotations

from collections.abc import Sequence

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import BAG_ON, BARE, WHOLE, Amount, Part
from mobile.workflows.tree_plans import declare_untreated, leave_out
from shared_models.vocabulary import Fruit

SEASON = "2025"
MAY, JUNE, AUTUMN = Told("2025-05-20"), Told("2025-06-12"), Told("2025-09-14")
DAMAGED = (9, 12, 7, 3, 5, 4)  # of thirty fruit of the first six trees: three untreated, three sprayed


def last_harvest(store: PhoneStore, trees: Sequence[str]) -> None:
    """Three trees untreated, three sprayed, two bagged, one left out, the others not recorded; one of these scored."""
    declare_untreated(store, trees[:3], season=SEASON, told=MAY)
    record_job(store, "granulovirus", trees=trees[3:6], minutes=40, told=JUNE)
    record_job(store, "bagging", trees=trees[6:8], minutes=95, told=JUNE)
    leave_out(store, trees[8], "a storm broke half of its crown", season=SEASON, told=AUTUMN)
    for tree, damaged in zip(trees, DAMAGED, strict=False):
        _scored(store, tree, WHOLE, 30, damaged)
    for tree in trees[6:8]:
        _scored(store, tree, BAG_ON, 20, 0)
        _scored(store, tree, BARE, 20, 6)
    _scored(store, trees[9], WHOLE, 30, 8)


def _scored(store: PhoneStore, tree: str, part: Part, scored: int, damaged: int) -> None:
    visit = PickingVisit(store, tree, AUTUMN)
    visit.from_part(part)
    visit.picked_in_all(2 * scored)
    for fruit, number in ((Fruit.CLEAN, scored - damaged), (Fruit.STING, damaged)):
        if number:
            visit.number(fruit, Amount.exactly(number))
    visit.done()

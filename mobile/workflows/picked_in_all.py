"""What is said after scoring: how many were picked in all of each part, by count or by weight. Offers `say_of_picks`."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import Part
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.tallies import Pick
from shared_models.vocabulary import AllScored, Certainty, Cover


@dataclass(frozen=True, slots=True)
class SaidOfPick:
    """What was said of one part; None was not said. `about` is a number that was not counted."""

    place: str
    cover: str
    total: int | None = None
    about: bool = False
    weight_kg: float | None = None
    fruit_per_kg: float | None = None
    all_scored: AllScored | None = None
    taken_by_others: int | None = None


def say_of_picks(
    store: PhoneStore, tree: str, visit: str, said: Sequence[SaidOfPick]
) -> Callable[[PhoneStore], None]:
    """Record what was said of the picks of a visit; returns how it is taken back.

    BadInputError where a weight and fruit per kilogram do not make a number together; nothing is recorded then.
    """
    for one in said:
        _refuse_half_a_weight(one)
    picking = PickingVisit(store, tree, visit=visit)
    before = [_said_before(store, picking, one) for one in said]
    for one in said:
        _say(picking, one)

    def take_back(again: PhoneStore) -> None:
        for pick, fields in before:
            if pick is not None:
                again.record(Pick.kind, fields, pick)

    return take_back


def _refuse_half_a_weight(one: SaidOfPick) -> None:
    if one.fruit_per_kg is not None and one.weight_kg is None:
        raise BadInputError(say("Say how many kilograms were picked, or leave both empty."), "weight_kg")
    if one.total is None and one.weight_kg is not None and one.fruit_per_kg is None:
        raise BadInputError(
            say("Say how many fruit make a kilogram; without it the weight gives no number of fruit."),
            "fruit_per_kg",
        )


def _say(picking: PickingVisit, one: SaidOfPick) -> None:
    picking.from_part(Part(one.place, Cover(one.cover)))
    if one.total is not None:
        picking.picked_in_all(one.total, Certainty.ESTIMATED if one.about else Certainty.EXACT)
    if one.weight_kg is not None:
        picking.weighed(one.weight_kg, one.fruit_per_kg)
    if one.all_scored is not None:
        picking.all_scored(one.all_scored)
    if one.taken_by_others is not None:
        picking.taken_by_others(one.taken_by_others)


def _said_before(
    store: PhoneStore, picking: PickingVisit, one: SaidOfPick
) -> tuple[str | None, dict[str, object]]:
    pick = picking.pick_of(one.place, one.cover)
    found = store.get(Pick, pick) if pick else None
    if found is None:
        return None, {}
    names = ("total", "weight_kg", "fruit_per_kg", "taken_by_others")
    fields: dict[str, object] = {name: getattr(found, name) for name in names}
    return pick, fields | {
        "total_certainty": found.total_certainty.value,
        "all_scored": found.all_scored.value,
    }

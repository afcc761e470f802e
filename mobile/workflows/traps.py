"""Traps as things: hang one, move it, take it down, rename it, and the order in which they are walked to.

Offers `hang_trap`, `move_trap`, `take_trap_down`, `rename_trap`, `retire_trap`, `put_traps_in_order`,
`traps_in_walking_order`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import fresh_id, said
from mobile.workflows.moments import on_day, today
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.gardens import Garden
from shared_models.records.traps import Placement, Trap


@dataclass(frozen=True, slots=True)
class TrapHung:
    """A trap with the placement that says where it hangs; `notes` are sentences to show, none of them blocks."""

    trap: str
    placement: str
    notes: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class TrapLine:
    """One trap of the list."""

    trap: str
    label: str
    garden: str
    garden_name: str
    form: str | None
    order: float | None


def hang_trap(
    store: PhoneStore,
    label: str,
    garden: str,
    *,
    form: str | None = None,
    place: str | None = None,
    height_m: float | None = None,
    since: date | None = None,
) -> TrapHung:
    """Hang a new trap in a garden, today or on the day `since`; it comes last in walking order."""
    label = label.strip()
    trap, placement = fresh_id(store), fresh_id(store)
    others = [line for line in traps_in_walking_order(store) if line.garden == garden]
    from_day = on_day(store, since or today(store))
    last = max((line.order for line in others if line.order is not None), default=0)
    here = said(trap=trap, garden=garden, from_day=from_day, height_m=height_m, place=place)
    store.record_all(
        [
            Draft(Trap.kind, said(label=label, garden=garden, form=form, order=last + 1), trap),
            Draft(Placement.kind, here, placement),
        ]
    )
    return TrapHung(trap, placement, _label_notes(label, others))


def move_trap(
    store: PhoneStore,
    trap: str,
    *,
    place: str | None = None,
    height_m: float | None = None,
    garden: str | None = None,
    on: date | None = None,
) -> TrapHung:
    """End the trap's placement on a day (today) and begin another there."""
    known = trap_known(store, trap)
    day, new = on_day(store, on or today(store)), fresh_id(store)
    ends = [Draft(Placement.kind, {"to_day": day}, old.rec) for old in _open_placements(store, trap)]
    here = said(trap=trap, garden=garden or known.garden, from_day=day, height_m=height_m, place=place)
    moved = [Draft(Trap.kind, {"garden": garden}, trap)] if garden and garden != known.garden else []
    store.record_all([*ends, Draft(Placement.kind, here, new), *moved])
    return TrapHung(trap, new, (), _doubts(store, [draft.rec for draft in ends]))


def take_back_move(store: PhoneStore, trap: str, placement: str, garden: str) -> None:
    """Take back that a trap was moved: it hangs where it did, in the garden it was of."""
    store.undo(placement)
    hang_again(store, trap)
    if trap_known(store, trap).garden != garden:
        store.record(Trap.kind, {"garden": garden}, trap)


def take_trap_down(store: PhoneStore, trap: str, on: date | None = None) -> tuple[Doubt, ...]:
    """End the trap's placement on a day (today) and offer the trap no longer; its visits stay."""
    trap_known(store, trap)
    day = on_day(store, on or today(store))
    ends = [Draft(Placement.kind, {"to_day": day}, old.rec) for old in _open_placements(store, trap)]
    store.record_all([*ends, Draft(Trap.kind, {"retired": True}, trap)])
    return _doubts(store, [draft.rec for draft in ends])


def hang_again(store: PhoneStore, trap: str) -> None:
    """Offer a trap again that was taken down, where its last placement ended."""
    known = trap_known(store, trap)
    ended = [one for one in store.all(Placement) if one.trap == trap and one.to_day]
    last = max(ended, key=lambda one: (one.to_day or "", one.rec), default=None)
    opened = [Draft(Placement.kind, {"to_day": None}, last.rec)] if last else []
    store.record_all([*opened, Draft(Trap.kind, {"retired": False}, known.rec)])


def rename_trap(store: PhoneStore, trap: str, label: str) -> tuple[str, ...]:
    """Give a trap another label; returns what to show about it."""
    known = trap_known(store, trap)
    store.record(Trap.kind, {"label": label.strip()}, trap)
    others = [
        line for line in traps_in_walking_order(store) if line.garden == known.garden and line.trap != trap
    ]
    return _label_notes(label.strip(), others)


def put_traps_in_order(store: PhoneStore, traps: Sequence[str]) -> None:
    """Walk to these traps in this order from now on; one transaction."""
    found = {trap.rec: trap for trap in store.all(Trap)}
    drafts = [
        Draft(Trap.kind, {"order": place}, trap)
        for place, trap in enumerate(traps, start=1)
        if trap in found and found[trap].order != place
    ]
    store.record_all(drafts)


def traps_in_walking_order(store: PhoneStore, garden: str | None = None) -> list[TrapLine]:
    """Traps that hang, by garden, walking order and label."""
    gardens = {place.rec: place.name for place in store.all(Garden)}
    lines = [
        TrapLine(trap.rec, trap.label, trap.garden, gardens.get(trap.garden, ""), trap.form, trap.order)
        for trap in store.all(Trap)
        if not trap.retired and garden in (None, trap.garden)
    ]
    return sorted(lines, key=_walking_order)


def trap_known(store: PhoneStore, trap: str) -> Trap:
    """The trap of an id; BadInputError where this phone has none."""
    found = store.get(Trap, trap)
    if found is None:
        raise BadInputError(say("This trap is not on this phone."), "trap")
    return found


def _walking_order(line: TrapLine) -> tuple[str, str, float, str, str]:
    order = line.order if line.order is not None else 1e9
    return (line.garden_name, line.garden, order, line.label, line.trap)


def next_label(store: PhoneStore) -> str:
    """The number after the highest that is written on a trap; what is offered for the next one."""
    numbers = [int(line.label) for line in traps_in_walking_order(store) if line.label.isdecimal()]
    return str(max(numbers, default=0) + 1)


def _label_notes(label: str, others: Sequence[TrapLine]) -> tuple[str, ...]:
    if not any(line.label == label for line in others):
        return ()
    return (say("Another trap of this garden is labelled {label} too.", label=label),)


def _open_placements(store: PhoneStore, trap: str) -> list[Placement]:
    return [one for one in store.all(Placement) if one.trap == trap and one.to_day is None]


def _doubts(store: PhoneStore, placements: Sequence[str | None]) -> tuple[Doubt, ...]:
    found = [store.get(Placement, rec) for rec in placements if rec]
    return tuple(doubt for one in found if one for doubt in one.doubts())

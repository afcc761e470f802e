"""Mending what was recorded: correct with a reason, undo, redo, adjust a tally by a difference, move a visit.

Every one of these is a further entry; what was said before stays readable (`versions`). A tally of others is never
set and never undone: it is adjusted by a difference, with a reason.
Offers `correct`, `undo`, `redo`, `adjust`, `move_to_tree`, `move_to_trap`.
"""

from dataclasses import dataclass
from itertools import takewhile
from typing import Any

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.moments import refuse_other_season
from mobile.workflows.people import name_of
from mobile.workflows.tallied_heaps import heap_of_mark, standing_after
from mobile.workflows.tally import WHOLE, Part
from mobile.workflows.trap_log import TrapLog
from mobile.workflows.traps import trap_known
from mobile.workflows.tree_list import TreeList
from mobile.workflows.tree_visit import visit_known
from shared_models.errors import BadInputError, NotAllowedError
from shared_models.fold import DELETED, FoldedRecord
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.gardens import LeftOut
from shared_models.records.kinds import KINDS, record_of
from shared_models.records.tallies import Adjustment, NumberAtOnce, Pick, TallyMark, Visit
from shared_models.records.traps import TrapVisit
from shared_models.vocabulary import Fruit, Round, Source, Tallied
from shared_models.when import parse_when

_HAS_A_REASON_OF_ITS_OWN = frozenset({LeftOut.kind, Adjustment.kind})
_MOST_PICKS = 50  # parts of one tree that one visit picks
_SHARED_WITH_PICKS = frozenset({"when", "season", "tree", "done_by"})
_TALLIED = frozenset({TallyMark.kind, NumberAtOnce.kind})


@dataclass(frozen=True, slots=True)
class Corrected:
    """A record after a correction, and what does not seem to fit now."""

    rec: str
    doubts: tuple[Doubt, ...] = ()
    notes: tuple[str, ...] = ()


def correct(store: PhoneStore, rec: str, reason: str, **changes: Any) -> Corrected:
    """Correct fields of a record, with the reason; a correction that does not say `when` leaves the date alone.

    What a picking visit shares with its picks (date, season, tree, who did it) is corrected on them too.
    A record that the server holds back is recorded whole, and so mended.
    """
    folded = _known(store, rec)
    _refuse_without_reason(reason)
    unknown = [name for name in changes if name not in KINDS[folded.kind].model_fields]
    if unknown or not changes:
        raise BadInputError(
            say(
                "Say which field is corrected; “{field}” is none of this record.",
                field=unknown[0] if unknown else "",
            ),
            "field",
        )
    if folded.kind in _HAS_A_REASON_OF_ITS_OWN:
        raise BadInputError(
            say("This record carries a reason of its own, which would be lost: undo it, and record it anew."),
            "reason",
        )
    if folded.kind in _TALLIED:
        _refuse_of_others(store, folded)
    if isinstance(changes.get("season"), str):
        refuse_other_season(store, changes["season"], folded.fields | changes)
    said_why = {"reason": reason.strip()}
    whole = store.held_back(rec) or {}  # of what the server holds back the group knows nothing yet
    with_it = _carried_along(store, folded, changes)
    store.record_all(
        [
            Draft(folded.kind, {**whole, **changes, **said_why}, rec),
            *(Draft(Pick.kind, fields | said_why, pick) for pick, fields in with_it),
        ]
    )
    return Corrected(rec, _doubts(store, rec))


def undo(store: PhoneStore, rec: str) -> Corrected:
    """Take a record back, and with a picking visit its picks; NotAllowedError for a mark or number of another phone."""
    folded = _known(store, rec)
    if folded.kind in _TALLIED:
        _refuse_of_others(store, folded)
    # The picks first: `redo` finds them just below the visit in the history.
    _set_deleted(store, [*_picks_of(store, folded), folded], True)
    return Corrected(rec)


def redo(store: PhoneStore, rec: str) -> Corrected:
    """Put an undone record back, and with a picking visit the picks that were undone with it."""
    folded = _known(store, rec)
    _set_deleted(store, [*_picks_undone_with(store, folded), folded], False)
    return Corrected(rec, _doubts(store, rec))


def adjust(
    store: PhoneStore,
    visit: str,
    difference: int,
    reason: str,
    *,
    fruit: Fruit | None = None,
    source: Source | None = None,
    part: Part | None = None,
) -> Corrected:
    """Correct a tally of anybody by a difference, with the reason; without `fruit` it is bags that are adjusted.

    Part and source that are not said are those of the fruit with this mark; BadInputError where there are several.
    """
    adjusted = visit_known(store, visit)
    _refuse_without_reason(reason)
    if difference == 0:
        raise BadInputError(say("A difference of none changes nothing; give how many more or less."), "n")
    fields = said(visit=visit, n=difference, reason=reason.strip())
    if fruit is None:
        _refuse_by_the_box(adjusted)
        made = store.record(
            Adjustment.kind, fields | said(what=Tallied.BAG, source=source) | (part or WHOLE).fields()
        )
        left = sum(count.n for count in store.tallies(visit) if count.what == Tallied.BAG)
    else:
        heap = heap_of_mark(store, adjusted, fruit, part, source)
        marked = said(what=Tallied.FRUIT, marks=[fruit], source=heap.source)
        made = store.record(Adjustment.kind, fields | marked | heap.part.fields())
        left = standing_after(adjusted, store.tallies(visit), fruit, heap)
    return Corrected(made, _doubts(store, made), _below_none(left))


def move_to_tree(store: PhoneStore, visit: str, tree: str, reason: str) -> Corrected:
    """That was another tree: move a whole visit there, with its marks and its picks, in one transaction."""
    moved = visit_known(store, visit)
    _refuse_without_reason(reason)
    target = TreeList(store).line(tree)
    if target.tree == TreeList(store).one(moved.tree):
        raise BadInputError(say("This visit stands on tree {label} already.", label=target.label), "tree")
    if moved.season:
        refuse_other_season(store, moved.season, {"garden": target.garden})
    there = {"tree": target.tree, "reason": reason.strip()}
    picks = [Draft(Pick.kind, there, pick.rec) for pick in _picks_of(store, _known(store, visit))]
    store.record_all([Draft(Visit.kind, there, visit), *picks])
    return Corrected(visit, _doubts(store, visit))


def move_to_trap(store: PhoneStore, visit: str, trap: str, reason: str) -> Corrected:
    """That was another trap: move a visit there; the visit before it becomes that trap's."""
    moved = store.get(TrapVisit, visit)
    if moved is None:
        raise BadInputError(say("This visit is not on this phone, or was undone."), "visit")
    _refuse_without_reason(reason)
    target = trap_known(store, trap)
    if moved.trap == trap:
        raise BadInputError(say("This visit stands on trap {label} already.", label=target.label), "trap")
    before = TrapLog(store, trap, without=visit).before(moved)
    previous = before[-1].rec if before else None
    store.record(TrapVisit.kind, {"trap": trap, "previous": previous, "reason": reason.strip()}, visit)
    return Corrected(visit, _doubts(store, visit))


def _known(store: PhoneStore, rec: str) -> FoldedRecord:
    folded = store.folded(rec)
    if folded is None:
        raise BadInputError(say("This record is not on this phone."), "rec")
    return folded


def _refuse_without_reason(reason: str) -> None:
    if not reason.strip():
        raise BadInputError(say("Say why; the reason stays beside both versions."), "reason")


def _refuse_of_others(store: PhoneStore, folded: FoldedRecord) -> None:
    if store.identity is None or folded.device == store.identity.device:
        return
    raise NotAllowedError(
        say(
            "This was tallied on another phone by {who}, so it is not taken back here. Adjust the tally by a "
            "difference, with a reason; both stay readable.",
            who=name_of(store, folded.by),
        )
    )


def _picks_of(store: PhoneStore, folded: FoldedRecord) -> list[FoldedRecord]:
    """The picks that belong to a picking visit alone: same tree, moment and phone, or named by no other visit."""
    told = folded.fields
    if folded.kind != Visit.kind or told.get("round") != Round.PICKING:
        return []
    tree = str(told.get("tree"))
    others = [visit for visit in store.few.naming(Visit, [tree]) if visit.rec != folded.rec]
    alike = [pick.rec for pick in store.few.naming(Pick, [tree]) if _is_of(pick, told, others)]
    candidates = {*alike, *([str(told["pick"])] if told.get("pick") else [])}
    named = {visit.pick for visit in store.few.naming(Visit, candidates) if visit.rec != folded.rec}
    found = [store.folded(pick) for pick in sorted(candidates - named)]
    return [pick for pick in found if pick is not None and pick.device == folded.device]


def _is_of(pick: Pick, told: dict[str, Any], others: list[Visit]) -> bool:
    """Whether a pick is of a visit's tree and moment; a bare day tells it only where no other visit shares it."""
    here = pick.tree, pick.when
    if here != (told.get("tree"), told.get("when")):
        return False
    return parse_when(pick.when).instant is not None or here not in {
        (one.tree, one.when) for one in others if one.round is Round.PICKING
    }


def _carried_along(
    store: PhoneStore, folded: FoldedRecord, changes: dict[str, Any]
) -> list[tuple[str, dict[str, Any]]]:
    """The picks of a visit that is corrected, with those of the changed fields in which they agreed with it."""
    shared = [name for name in changes if name in _SHARED_WITH_PICKS]
    if not shared:
        return []
    carried = []
    for pick in _picks_of(store, folded):
        agreed = [name for name in shared if pick.fields.get(name) == folded.fields.get(name)]
        if agreed:
            carried.append((pick.rec, {name: changes[name] for name in agreed}))
    return carried


def _picks_undone_with(store: PhoneStore, folded: FoldedRecord) -> list[FoldedRecord]:
    """The picks whose undo was written just before the undo of this visit, in the same transaction."""
    if folded.kind != Visit.kind or not folded.deleted:
        return []
    before = store.history(_MOST_PICKS, before=folded.winners[DELETED])
    undone = takewhile(lambda entry: entry.kind == Pick.kind and entry.f == {DELETED: True}, before)
    return [pick for pick in (store.folded(entry.rec) for entry in undone) if pick is not None]


def _set_deleted(store: PhoneStore, records: list[FoldedRecord], deleted: bool) -> None:
    changed = [one for one in records if one.deleted is not deleted]
    store.record_all([Draft(one.kind, {DELETED: deleted}, one.rec) for one in changed])


def _refuse_by_the_box(visit: Visit) -> None:
    if visit.bags_by_the_box is None:
        return
    raise BadInputError(
        say(
            "The bags of this visit are counted by the box (took {took}, left {left}), so a difference would change "
            "nothing: correct what was taken or left, with a reason.",
            took=visit.took,
            left=visit.left or 0,
        ),
        "n",
    )


def _below_none(left: float) -> tuple[str, ...]:
    if left >= 0:
        return ()
    return (
        say(
            "With this the visit counts fewer than none; it is shown as none. See whether the difference is right."
        ),
    )


def _doubts(store: PhoneStore, rec: str) -> tuple[Doubt, ...]:
    folded = store.folded(rec)
    record = record_of(folded) if folded and not folded.deleted else None
    return tuple(record.doubts()) if record else ()

"""Deciding what two people did without knowing of each other. Each decision is a further entry, and can be undone.

A value is settled by saying it again in place of each one that lost: nobody's word is thrown away, and two who decide
otherwise while apart are asked once more.
Offers `decide`, `decide_both_count`, `decide_one_counts` and what takes each back.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from shared_models.blind_edits import BlindEdit
from shared_models.entries import DELETED, Entry
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.traps import TrapVisit
from shared_models.season.double_counts import DoubleCount


@dataclass(frozen=True, slots=True)
class DecidedEdit:
    """A field that was decided: who had said what and was replaced by nobody, what stood last; and whether it was so
    that others only changed what one had taken back.
    """

    rec: str
    kind: str
    field: str
    said: tuple[tuple[str, Any], ...]
    unheard: bool


@dataclass(frozen=True, slots=True)
class DecidedCount:
    """A double count that was decided: each visit that was changed, with the fields that take it back."""

    before: tuple[tuple[str, dict[str, Any]], ...]


def decide(store: PhoneStore, edits: Sequence[BlindEdit], place: int) -> list[DecidedEdit]:
    """Let one value hold: the one that stands (0), or the other one of that number, in each of these edits.

    BadInputError where somebody decided meanwhile; then nothing is written.
    """
    decided = [_as_it_lies(store, edit) for edit in edits]
    drafts: list[Draft] = []
    for edit, before in zip(edits, decided, strict=True):
        said = [edit.stands, *edit.others]
        drafts += _instead(before, said[min(place, len(said) - 1)].value)
    store.record_all(drafts)
    return decided


def take_back(store: PhoneStore, decisions: Sequence[DecidedEdit]) -> None:
    """Take decisions back: each value is said again, what stood last, and all of it is to be decided once more."""
    store.record_all([draft for one in decisions for draft in _as_before(store, one)])


def decide_both_count(store: PhoneStore, double: DoubleCount) -> DecidedCount:
    """Both counts hold: the second one counted only what came after the first."""
    second, reason = double.second, say("Both counts hold; this one came after the other.")
    changed = {"previous": double.first.rec, "reason": reason}
    before: list[tuple[str, dict[str, Any]]] = [(second.rec, {"previous": second.previous})]
    drafts = [Draft(TrapVisit.kind, changed, second.rec)]
    if double.none_counts:
        drafts = [Draft(TrapVisit.kind, changed | {DELETED: False}, second.rec)]
        drafts.append(Draft(TrapVisit.kind, {DELETED: False, "reason": reason}, double.first.rec))
        before = [(second.rec, before[0][1] | {DELETED: True}), (double.first.rec, {DELETED: True})]
    store.record_all(drafts)
    return DecidedCount(tuple(before))


def decide_one_counts(store: PhoneStore, double: DoubleCount, kept: str) -> DecidedCount:
    """Only this visit counts: the other is taken back with the reason, and names the one that counts."""
    pair = [double.first.rec, double.second.rec]
    if kept not in pair:
        raise BadInputError(say("This visit is none of the two."), "visit")
    gone = pair[1 - pair.index(kept)]
    if double.none_counts:
        store.record(TrapVisit.kind, {DELETED: False, "reason": say("This count holds.")}, kept)
        return DecidedCount(((kept, {DELETED: True}),))
    reason = say("The other count of the same moths holds.")
    store.record(TrapVisit.kind, {DELETED: True, "instead": kept, "reason": reason}, gone)
    return DecidedCount(((gone, {DELETED: False, "instead": None}),))


def take_back_count(store: PhoneStore, decided: DecidedCount) -> None:
    """Take it back: both visits are as they were, and it is to be decided once more."""
    reason = {"reason": say("It was not decided after all.")}
    store.record_all([Draft(TrapVisit.kind, fields | reason, visit) for visit, fields in decided.before])


def _as_it_lies(store: PhoneStore, edit: BlindEdit) -> DecidedEdit:
    """The field as it lies in the log now; BadInputError where that is no longer what was looked at."""
    heads = store.looks.heads(edit.rec, edit.field)
    values = [one.f[edit.field] for one in heads]
    unheard = edit.field == DELETED and values == [True]
    if (
        not heads
        or heads[-1].id != edit.stands.entry
        or (all(v == values[-1] for v in values) and not unheard)
    ):
        raise BadInputError(
            say("This was changed or decided meanwhile. Nothing was written; look at it again."), edit.field
        )
    said = tuple((one.id, one.f[edit.field]) for one in heads)
    return DecidedEdit(edit.rec, edit.kind, edit.field, said, unheard)


def _instead(before: DecidedEdit, value: Any) -> Iterator[Draft]:
    """The value in place of each other one."""
    for entry, lost in before.said:
        if lost != value or before.unheard:
            yield _again(before, value, entry)


def _as_before(store: PhoneStore, decided: DecidedEdit) -> Iterator[Draft]:
    """Each value is said again, and last what stood, so that it stands once more."""
    entries = store.entries_of(decided.rec)
    *others, (stood, value) = decided.said
    answer = _in_place_of(entries, decided.field, stood)
    if decided.unheard and answer.f[DELETED] is False:
        yield _again(decided, True, stood)
        return
    if decided.unheard:  # the other side has no entry of this field that could be said again
        yield _again(decided, False, stood)
    for entry, lost in others:
        yield _again(decided, lost, _in_place_of(entries, decided.field, entry).id)
    yield _again(decided, value, answer.id)


def _again(decided: DecidedEdit, value: Any, replaces: str) -> Draft:
    return Draft(decided.kind, {decided.field: value}, decided.rec, {decided.field: replaces})


def _in_place_of(entries: Sequence[Entry], field: str, replaced: str) -> Entry:
    """The newest entry that replaced this one; itself where none did."""
    found = [one for one in entries if (one.prev or {}).get(field) == replaced or one.id == replaced]
    return found[-1]

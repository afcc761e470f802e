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
    """A field that was decided: what stood, and what the decision said something else in place of."""

    rec: str
    kind: str
    field: str
    stood: tuple[str, Any]
    replaced: tuple[tuple[str, Any], ...]


@dataclass(frozen=True, slots=True)
class DecidedCount:
    """A double count that was decided: each visit that was changed, with the fields that take it back."""

    before: tuple[tuple[str, dict[str, Any]], ...]


def decide(store: PhoneStore, edits: Sequence[BlindEdit], place: int) -> list[DecidedEdit]:
    """Let one value hold: the one that stands (0), or the other one of that number, in each of these edits.

    BadInputError where somebody decided meanwhile; then nothing is written.
    """
    made = [_decided(store, edit, place) for edit in edits]
    store.record_all([draft for decided, value in made for draft in _instead(decided, value)])
    return [decided for decided, _ in made]


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


def _decided(store: PhoneStore, edit: BlindEdit, place: int) -> tuple[DecidedEdit, Any]:
    """What has to be said in place of what, as it lies in the log now."""
    heads = store.looks.heads(edit.rec, edit.field)
    said = [edit.stands, *edit.others]
    value = said[min(place, len(said) - 1)].value
    stands = heads[-1] if heads else None
    lost = [one for one in heads if one.f[edit.field] != value]
    if stands is not None and not lost and edit.field == DELETED:  # edited elsewhere after it was taken back
        lost = [stands]
    if stands is None or stands.id != edit.stands.entry or not lost:
        raise BadInputError(
            say("This was changed or decided meanwhile. Nothing was written; look at it again."), edit.field
        )
    return DecidedEdit(
        edit.rec,
        edit.kind,
        edit.field,
        (stands.id, stands.f[edit.field]),
        tuple((one.id, one.f[edit.field]) for one in lost),
    ), value


def _instead(decided: DecidedEdit, value: Any) -> Iterator[Draft]:
    for entry, _ in decided.replaced:
        yield Draft(decided.kind, {decided.field: value}, decided.rec, {decided.field: entry})


def _as_before(store: PhoneStore, decided: DecidedEdit) -> Iterator[Draft]:
    """Each value that was replaced is said again, and last what stood, so that it stands once more."""
    stood, value = decided.stood
    entries = store.entries_of(decided.rec)
    answer = _in_place_of(entries, decided.field, stood)
    if decided.field == DELETED and decided.replaced == ((stood, True),):
        # The other side was an edit of something else: it has no entry of this field that could be said again.
        if answer.f[DELETED] is True:
            yield _again(decided, False, stood)
            yield _again(decided, True, answer.id)
        else:
            yield _again(decided, True, stood)
        return
    for entry, lost in decided.replaced:
        if entry != stood:
            yield _again(decided, lost, _in_place_of(entries, decided.field, entry).id)
    yield _again(decided, value, answer.id)


def _again(decided: DecidedEdit, value: Any, replaces: str) -> Draft:
    return Draft(decided.kind, {decided.field: value}, decided.rec, {decided.field: replaces})


def _in_place_of(entries: Sequence[Entry], field: str, replaced: str) -> Entry:
    """The newest entry that replaced this one; itself where none did."""
    found = [one for one in entries if (one.prev or {}).get(field) == replaced or one.id == replaced]
    return found[-1]

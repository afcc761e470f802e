"""Edits of one record that were made without knowing of each other, pure; the fold chooses, this tells who lost.

"An entry knows what it replaced (`prev`), what that had replaced, and so on; of what it does not know it was blind."

    a  label=7
    b  label=7b  replaces a        stands, as the newest
    c  label=8   replaces a        neither knows of the other: both are told

Whoever says a value again in place of the one that lost has settled it: `b` is kept by an entry label=7b that replaces
`c`, and `c` is taken by an entry label=8 that replaces `b`. Two who decide otherwise while apart are blind again.
What somebody says anew on a phone that holds both settles it too: it is written in place of each (`mobile/storage/pen`).
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from shared_models.entries import DELETED, Entry

ORDER = "order"  # the place of a tree or trap in walking order; setting one order sets the places of many
WHY = "reason"  # says why something was said, and is no value that anybody could lose


@dataclass(frozen=True, slots=True)
class Said:
    """What one entry said of a field, who recorded it, on which device and when."""

    entry: str
    value: Any
    by: str
    device: str
    entered: str


@dataclass(frozen=True, slots=True)
class BlindEdit:
    """One field of a record: what stands, and every other value that was said without knowing of it, newest first."""

    rec: str
    kind: str
    field: str
    stands: Said
    others: tuple[Said, ...]


def blind_edits(ordered: Sequence[Entry]) -> list[BlindEdit]:
    """Of the entries of one record in the order of `fold.in_order`, by field.

    Of a record that was taken back only that is told: an edit made after it, on another phone, did not know of it.
    """
    if not ordered or _is_straight(ordered):
        return []
    names = sorted({name for entry in ordered for name in entry.f} - {WHY})
    removed = next((entry.f[DELETED] for entry in reversed(ordered) if DELETED in entry.f), False) is True
    found = (_of_field(ordered, name) for name in ([DELETED] if removed else names))
    return [one for one in found if one]


def together(edits: Sequence[BlindEdit]) -> list[tuple[BlindEdit, ...]]:
    """Edits that are decided as one: whoever puts trees or traps in order sets the place of each."""
    of_order: dict[str, list[BlindEdit]] = {}
    for one in edits:
        if one.field == ORDER:
            of_order.setdefault(one.kind, []).append(one)
    alone = [(one,) for one in edits if one.field != ORDER]
    return [*alone, *(tuple(of_order[kind]) for kind in sorted(of_order))]


def heads(ordered: Sequence[Entry], name: str) -> list[Entry]:
    """The entries of a field that no other one replaced, oldest first; the last one is what stands.

    A value that was replaced is replaced wherever it had been said before: whoever goes on from a decision goes on from
    all who agreed. Where an entry replaced one that is not here (yet), it is taken to have known all that is older: it
    is better to tell of a blind edit a little later than of one that was none.
    """
    setting = [entry for entry in ordered if name in entry.f]
    here: set[str | None] = {None, *(entry.id for entry in setting)}
    replaced = {_replaced(entry, name) for entry in setting}
    gone = {_text(entry.f[name]): place for place, entry in enumerate(setting) if entry.id in replaced}
    knew_all = [place for place, entry in enumerate(setting) if _replaced(entry, name) not in here]
    first = max(knew_all, default=0)
    last = len(setting) - 1
    return [
        entry
        for place, entry in enumerate(setting)
        if place == last
        or (place >= first and entry.id not in replaced and place > gone.get(_text(entry.f[name]), -1))
    ]


def _text(value: Any) -> str:
    return json.dumps(value, sort_keys=True)


def _is_straight(ordered: Sequence[Entry]) -> bool:
    """Whether each entry replaced what stood before it, as nearly all do: then nothing can be blind."""
    standing: dict[str, str] = {}
    removed = False
    for entry in ordered:
        before = entry.prev or {}
        if removed and DELETED not in entry.f:
            return False
        for name, value in entry.f.items():
            if name in standing and before.get(name) != standing[name]:
                return False
            standing[name] = entry.id
            removed = value is True if name == DELETED else removed
    return True


def _of_field(ordered: Sequence[Entry], name: str) -> BlindEdit | None:
    open_ones = heads(ordered, name)
    stands = open_ones[-1]
    others: list[Said] = []
    for entry in reversed(open_ones[:-1]):
        known = {_text(stands.f[name]), *(_text(one.value) for one in others)}
        if _text(entry.f[name]) not in known:
            others.append(_said(entry, entry.f[name]))
    if not others and name == DELETED and stands.f[name] is True:
        others = [_said(entry, False) for entry in _unknowing(ordered, stands)][-1:]
    if not others:
        return None
    return BlindEdit(stands.rec, stands.kind, name, _said(stands, stands.f[name]), tuple(others))


def _unknowing(ordered: Sequence[Entry], removal: Entry) -> Iterator[Entry]:
    """What other phones said of a record after it was taken back; none offers to change what it knows to be gone."""
    after = ordered[ordered.index(removal) + 1 :]
    return (entry for entry in after if DELETED not in entry.f and entry.device != removal.device)


def _replaced(entry: Entry, name: str) -> str | None:
    return (entry.prev or {}).get(name)


def _said(entry: Entry, value: Any) -> Said:
    return Said(entry.id, value, entry.by, entry.device, entry.entered)

"""The one merge rule, pure: records are folded from entries, here and nowhere else.

"For each field the value with the greatest (stamp, entry id) wins."

    entries of one record          folded
    a  stamp 1  count=3, empty=no
    b  stamp 5  count=4            count=4 (b)   empty=no (a)

The order in which entries arrive, how often, and from where make no difference.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from shared_models.blind_edits import blind_edits
from shared_models.entries import DELETED, Entry

__all__ = ["DELETED", "FoldedRecord", "fold", "fold_all", "in_order", "replaced_by"]


@dataclass(frozen=True, slots=True)
class FoldedRecord:
    """What the entries of one `rec` come to. `winners` names the entry that gave each field its value.

    Kind, person, device, time and zone are those of the record's first entry, the one with the least (stamp, id).
    `blind` names the fields that stand as they do against another value, said without knowing of it.
    """

    rec: str
    kind: str
    fields: dict[str, Any]
    winners: dict[str, str]
    by: str
    device: str
    entered: str
    tz: str
    stamp: str
    blind: tuple[str, ...] = ()

    @property
    def deleted(self) -> bool:
        """Whether the newest word on it is that it was undone."""
        return self.fields.get(DELETED) is True


def fold(entries: Iterable[Entry]) -> FoldedRecord:
    """Fold all entries of one record; ValueError where there is none or they are of several records.

    Entries that name another kind than the record's first one are no part of it.
    """
    found = {entry.id: entry for entry in entries}
    if len(found) == 1:  # as most are: a mark, a pick; nothing to order
        return _folded([*found.values()])
    return _folded(_ordered(found))


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """The entries of one record that are part of it, each once, oldest first; ValueError as in `fold`."""
    return _ordered({entry.id: entry for entry in entries})


def _ordered(found: Mapping[str, Entry]) -> list[Entry]:
    ordered = sorted(found.values(), key=lambda entry: (entry.stamp, entry.id))
    if not ordered or any(entry.rec != ordered[0].rec for entry in ordered):
        raise ValueError("A record is folded from the entries of that one record.")
    return [entry for entry in ordered if entry.kind == ordered[0].kind]


def _folded(ordered: list[Entry]) -> FoldedRecord:
    first = ordered[0]
    fields: dict[str, Any] = {}
    winners: dict[str, str] = {}
    for entry in ordered:
        fields.update(entry.f)
        winners.update(dict.fromkeys(entry.f, entry.id))
    blind = tuple(one.field for one in blind_edits(ordered)) if len(ordered) > 1 else ()
    return FoldedRecord(
        first.rec,
        first.kind,
        fields,
        winners,
        first.by,
        first.device,
        first.entered,
        first.tz,
        first.stamp,
        blind,
    )


def fold_all(entries: Iterable[Entry]) -> dict[str, FoldedRecord]:
    """Every record of a set of entries, by `rec`."""
    by_record: dict[str, list[Entry]] = {}
    for entry in entries:
        by_record.setdefault(entry.rec, []).append(entry)
    return {rec: fold(entries_of_rec) for rec, entries_of_rec in by_record.items()}


def replaced_by(folded: FoldedRecord | None, fields: Mapping[str, Any]) -> dict[str, str] | None:
    """The `prev` of an edit: for each field that it sets, the entry whose value it replaces."""
    if folded is None:
        return None
    return {name: folded.winners[name] for name in fields if name in folded.winners} or None

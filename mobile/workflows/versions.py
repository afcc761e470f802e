"""All versions of one record, for reading: what each entry set, what it replaced, who, when and why. Writes nothing."""

from dataclasses import dataclass
from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.people import names, somebody
from shared_models.entries import Entry
from shared_models.fold import DELETED


@dataclass(frozen=True, slots=True)
class Change:
    """One field before and after (None where it was not said)."""

    field: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class Version:
    """One entry on a record. `undid` and `redid` tell an undo and a redo from a change of fields."""

    entry: str
    entered: str
    who: str
    changes: tuple[Change, ...]
    reason: str | None
    undid: bool
    redid: bool


def versions(store: PhoneStore, rec: str) -> list[Version]:
    """Every version of a record, oldest first; nothing that was ever said is left out."""
    named = names(store)
    values: dict[str, Any] = {}
    found = []
    for entry in store.entries_of(rec):
        found.append(_version(entry, values, named.get(entry.by, somebody())))
        values.update(entry.f)
    return found


def _version(entry: Entry, values: dict[str, Any], who: str) -> Version:
    changes = tuple(
        Change(name, values.get(name), value)
        for name, value in entry.f.items()
        if name not in (DELETED, "reason") and values.get(name) != value
    )
    return Version(
        entry.id,
        entry.entered,
        who,
        changes,
        entry.f.get("reason"),
        entry.f.get(DELETED) is True,
        entry.f.get(DELETED) is False,
    )

"""Entries and facts that were found elsewhere, taken into an open file: the union by id. Knows no damage and no words.

What was found waits to be shared, whatever number it had: the server may have been put back since, and answers what it
has with the number that holds now.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any
from zoneinfo import available_timezones

from mobile.storage import facts
from mobile.storage.database import Line
from mobile.storage.facts import Fact, Identity
from mobile.storage.outbox import Waits
from mobile.storage.salvage import FoundEntry
from mobile.storage.touch import TouchStatements, last_stamp
from shared_models.stamps import LATEST_MS
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP
from shared_models.vocabulary import Role

_ADD = """
    INSERT INTO entry (group_id, id, rec, kind, stamp, hash, body, aside) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
    ON CONFLICT (group_id, id) DO NOTHING
"""
_WAITS = "INSERT OR IGNORE INTO outbox (id, rec, kind, state) VALUES (?, ?, ?, ?)"
_ASIDE = """
    INSERT OR REPLACE INTO outbox (id, rec, kind, state, field, code, sentence, tried_version, tried_token)
    SELECT id, rec, kind, ?, ?, ?, ?, ?, ? FROM entry WHERE group_id = ? AND id = ?
"""
_LATEST = f"{LATEST_MS << 16:016x}"  # a stamp beyond it would leave no room for the next
_WHO = (Fact.DEVICE, Fact.PERSON, Fact.ZONE)
_GROUP = (Fact.SERVER, Fact.GROUP, Fact.GROUP_NAME, Fact.ROLE)


class TakingIn:
    """One taking in, within a transaction that somebody else holds."""

    def __init__(self, line: Line, statements: TouchStatements) -> None:
        self._line = line
        self._statements = statements
        self._new: set[str] = set()
        self._recs: set[str] = set()
        self._stamp = last_stamp(line.driver)

    def entries(self, found: Iterable[FoundEntry]) -> int:
        """Add what is not here yet; returns how many that were."""
        before = len(self._new)
        for one in found:
            self._entry(one)
        return len(self._new) - before

    def aside(self, rows: Iterable[Mapping[str, Any]]) -> None:
        """Let entries that were added stand aside again, for the reason that was known; the first to say one holds."""
        for row in rows:
            if row["id"] in self._new:
                said = (
                    row[name]
                    for name in ("state", "field", "code", "sentence", "tried_version", "tried_token")
                )
                self._line.driver.execute(_ASIDE, (*said, OWN_GROUP, row["id"]))

    def facts(self, found: Mapping[Fact, str]) -> None:
        """Note facts that are not known here."""
        missing = {fact: text for fact, text in found.items() if facts.read(self._line.core, fact) is None}
        if missing:
            facts.note(self._line.core, missing)

    def finish(self) -> None:
        """Bring state and stamp up to what is here now."""
        for part in entry_log.chunks(sorted(self._recs)):
            entry_log.touch(self._line.core, OWN_GROUP, part)
        state.refold_touched(self._line.core, OWN_GROUP)
        self._statements.note_stamp(self._line.driver, self._stamp)

    def is_here(self, entry_id: str) -> bool:
        """Whether an entry was added or was here before."""
        found = self._line.driver.execute(
            "SELECT 1 FROM entry WHERE group_id = ? AND id = ?", (OWN_GROUP, entry_id)
        )
        return found.fetchone() is not None

    def _entry(self, one: FoundEntry) -> None:
        values = (OWN_GROUP, one.id, one.rec, one.kind, one.stamp, one.hash, one.body, one.aside)
        if not self._line.driver.execute(_ADD, values).rowcount:
            return
        self._new.add(one.id)
        self._recs.add(one.rec)
        if one.stamp <= _LATEST:
            self._stamp = max(self._stamp, int(one.stamp, 16))
        if not one.is_apart:  # that one was never to be shared
            self._line.driver.execute(_WAITS, (one.id, one.rec, one.kind, Waits.WAITING.value))


def sound_facts(
    owner: Identity | None, in_file: Mapping[str, str], in_copy: Mapping[str, str]
) -> dict[Fact, str]:
    """Facts of a phone from three places, each believed only where it can be one.

    Who the phone is never changes, so whichever place tells it whole is right. What is newest stands in the file. The
    token is in the file alone, and is of use only to the group that the copy names, where it names one.
    """
    found: dict[Fact, str] = {}
    for place in (_who(owner), in_copy, in_file):
        found.update({} if _WHO[0] in found else _identity(place))
    group = _group(in_file)
    if not group or in_copy.get(Fact.GROUP, group[Fact.GROUP]) != group[Fact.GROUP]:
        group = _group(in_copy)
    found.update(group)
    for fact, is_sound in _CHECKS.items():
        for place in (in_copy, in_file):
            if (text := place.get(fact)) is not None and is_sound(text):
                found[fact] = text
    return found


def _who(owner: Identity | None) -> Mapping[str, str]:
    return (
        {} if owner is None else {Fact.DEVICE: owner.device, Fact.PERSON: owner.person, Fact.ZONE: owner.zone}
    )


def _identity(place: Mapping[str, str]) -> dict[Fact, str]:
    who = {fact: place[fact] for fact in _WHO if isinstance(place.get(fact), str)}
    whole = len(who) == len(_WHO) and who[Fact.ZONE] in available_timezones()
    return who if whole and len(who[Fact.DEVICE]) == len(who[Fact.PERSON]) == 36 else {}


def _group(place: Mapping[str, str]) -> dict[Fact, str]:
    said = {fact: place[fact] for fact in (*_GROUP, Fact.TOKEN) if fact in place}
    return said if set(_GROUP) <= set(said) and said[Fact.ROLE] in set(Role) else {}


def _is_object(text: str) -> bool:
    return _is(dict, text)


def _is_list(text: str) -> bool:
    return _is(list, text)


def _is(kind: type, text: str) -> bool:
    try:
        return isinstance(json.loads(text), kind)
    except ValueError:
        return False


_CHECKS: dict[Fact, Callable[[str], bool]] = {
    Fact.PLACE: _is_object,
    Fact.CHOICES: _is_object,
    Fact.UNFINISHED: _is_object,
    Fact.SAVED: _is_list,
}

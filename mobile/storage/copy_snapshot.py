"""What a copy is made of: the entries of one moment, on a connection of its own, so that nothing else waits for it."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select

from mobile.storage import facts
from mobile.storage.database import Line
from mobile.storage.facts import Fact
from mobile.storage.own_tables import ASIDE
from shared_models.entries import text_hash
from shared_models.season_records import SeasonRecords
from shared_models.store import state
from shared_models.store.tables import ENTRY, OWN_GROUP

# An entry that gave way to another of the same id lies under an id that is not its own. It counts nowhere, on no phone,
# and is left out: in a file both would bear one id.
_GAVE_WAY = """
    SELECT entry.id FROM entry JOIN outbox ON outbox.id = entry.id
    WHERE entry.group_id = ? AND entry.aside IS 1 AND outbox.code = 'taken' AND json_extract(entry.body, '$.id') <> entry.id
"""
_ENTRIES = "FROM entry WHERE group_id = ? AND id NOT IN (SELECT value FROM json_each(?))"
_OLDEST_FIRST = f"SELECT id, hash, body {_ENTRIES} ORDER BY stamp, id"
_BY_ID = f"SELECT id, hash {_ENTRIES} ORDER BY id"


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """How many entries there are, and a digest of their ids and hashes that tells one set from another."""

    entries: int
    digest: str


class Snapshot:
    """The phone's entries and seasons as they were at one moment, whatever is recorded meanwhile.

    `damaged` names the entries whose text is not what it was, once all were read; they go into no copy.
    """

    def __init__(self, line: Line) -> None:
        self._line = line
        gave_way = [row[0] for row in line.driver.execute(_GAVE_WAY, (OWN_GROUP,))]
        self._entries = (OWN_GROUP, _as_list(gave_way))
        self.damaged: set[str] = set()

    def bodies(self) -> Iterator[str]:
        """The canonical text of every entry, oldest first, a few at a time."""
        for entry_id, known, body in self._line.driver.execute(_OLDEST_FIRST, self._entries):
            if text_hash(body) == known:
                yield body
            else:
                self.damaged.add(entry_id)

    def fingerprint(self) -> Fingerprint:
        """Of all entries but those known as damaged."""
        digest, count = hashlib.sha256(), 0
        for entry_id, entry_hash in self._line.driver.execute(_BY_ID, self._entries):
            if entry_id not in self.damaged:
                digest.update(f"{entry_id} {entry_hash}\n".encode())
                count += 1
        return Fingerprint(count, digest.hexdigest())

    def kept_out(self) -> dict[str, str]:
        """The entries that stand aside, and the record of each."""
        columns = select(ENTRY.c.id, ENTRY.c.rec).where(ASIDE)
        return {row.id: row.rec for row in self._line.core.execute(columns)}

    def season(self, key: str) -> SeasonRecords:
        """Everything that a season's report looks at."""
        return state.season_records(self._line.core, OWN_GROUP, key)

    def fact(self, fact: Fact) -> str | None:
        """What was noted of the phone."""
        return facts.read(self._line.core, fact)


@contextmanager
def snapshot(file: Path) -> Iterator[Snapshot]:
    """One moment of a phone's file, which is open already; StoreError where it cannot be read."""
    line = Line(file)
    try:
        line.prepare()
        line.driver.execute("PRAGMA query_only=ON")
        with line.transaction("BEGIN"):
            yield Snapshot(line)
    finally:
        line.close()


def _as_list(ids: list[str]) -> str:
    return "[" + ",".join(f'"{one}"' for one in ids) + "]"

"""What can still be read of a phone's file, of a copy of it, and of the list of what was not shared. Changes none of them.

An entry is believed when its text has the hash that was stored with it, whatever else of the file is spoilt.
"""

import json
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mobile.storage.beside import Beside
from mobile.storage.leaf_pages import rows_of_file, rows_of_journal
from mobile.storage.outbox import Waits
from mobile.storage.unsent import Unsent
from shared_models.entries import text_hash
from shared_models.store.tables import OWN_GROUP

AS_IT_STANDS = "mode=ro"  # with what its journal holds
WITHOUT_JOURNAL = "mode=ro&immutable=1"
_ENTRIES = "SELECT id, hash, body, aside FROM entry NOT INDEXED"
_AN_ID = re.compile(r"[0-9a-f-]{36}")
_FACTS = "SELECT name, value FROM phone"
_ASIDE = (
    "SELECT id, state, field, code, sentence, tried_version, tried_token FROM outbox WHERE state <> 'waiting'"
)


@dataclass(frozen=True, slots=True)
class FoundEntry:
    """An entry whose text is whole. `id` differs from the one in its text where another entry took that."""

    id: str
    rec: str
    kind: str
    stamp: str
    hash: str
    body: str
    aside: bool = False

    @property
    def is_apart(self) -> bool:
        """Whether another entry of the group has the id that its text names."""
        return f'"{self.id}"' not in self.body


class Found:
    """One place where entries are found; `altered` are the ids of those that were there and are not whole."""

    def __init__(self) -> None:
        self.altered: set[str] = set()
        self._seen: set[str] = set()

    def entries(self) -> Iterator[FoundEntry]:
        """Each whole entry once."""
        raise NotImplementedError

    def _whole(self, entry_id: object, digest: object, body: object, aside: object) -> Iterator[FoundEntry]:
        """The entry of a row, once; nothing where it is spoilt."""
        if not isinstance(entry_id, str) or entry_id in self._seen:
            return
        found = _entry(entry_id, digest, body, bool(aside))
        if found is None:
            if _AN_ID.fullmatch(entry_id):
                self.altered.add(entry_id)
        elif found.id not in self._seen:
            self._seen.add(found.id)
            self.altered.discard(found.id)
            yield found


class FoundInFile(Found):
    """A file of this phone, damaged or not. `owner` is the device it belongs to, where that is known from elsewhere."""

    def __init__(self, file: Path, owner: str | None = None) -> None:
        super().__init__()
        self._file = file
        self._owner = owner

    def entries(self) -> Iterator[FoundEntry]:
        """By its tables as far as they can be followed, then page by page."""
        for view in self._views():
            for row in _rows(self._file, view, _ENTRIES):
                yield from self._whole(*row)
        for row in self._loose_rows():
            if len(row) >= 9 and row[0] == OWN_GROUP:
                _, entry_id, _, _, _, _, digest, body, aside = row[:9]
                yield from self._whole(entry_id, digest, body, aside)

    def facts(self) -> dict[str, str]:
        """Facts by their names, the newest that can be read; not checked."""
        found: dict[str, str] = {}
        for view in reversed(self._views()):
            found.update(fact for fact in _rows(self._file, view, _FACTS) if _is_texts(fact))
        if "device" not in found:
            for row in filter(_is_texts, self._loose_rows()):
                found.setdefault(*row)
        return found

    def aside(self) -> list[dict[str, Any]]:
        """Why entries stand aside."""
        names = ("id", "state", "field", "code", "sentence", "tried_version", "tried_token")
        for view in self._views():
            rows = [dict(zip(names, row, strict=True)) for row in _rows(self._file, view, _ASIDE)]
            if rows:
                return [row for row in rows if row["state"] in set(Waits)]
        return []

    def _views(self) -> tuple[str, ...]:
        """Ways to look at it. A journal that came from another phone's file has no say in it."""
        if self._owner is not None:
            device = dict(_rows(self._file, AS_IT_STANDS, _FACTS)).get("device", self._owner)
            if device != self._owner:
                return (WITHOUT_JOURNAL,)
        return (AS_IT_STANDS, WITHOUT_JOURNAL)

    def _loose_rows(self) -> Iterator[tuple[Any, ...]]:
        if AS_IT_STANDS in self._views():
            yield from rows_of_journal(self._file.with_name(self._file.name + "-wal"), self._file)
        yield from rows_of_file(self._file)


class FoundInList(Found):
    """The list of what was not shared, checked line by line when it is read."""

    def __init__(self, beside: Beside) -> None:
        super().__init__()
        self.list = Unsent(beside.unsent)

    def entries(self) -> Iterator[FoundEntry]:
        """Oldest first."""
        for body in self.list.bodies():
            entry_id = id_in(body)
            if entry_id is not None:
                yield from self._whole(entry_id, text_hash(body), body, False)


def _is_texts(row: tuple[Any, ...]) -> bool:
    return len(row) == 2 and all(isinstance(value, str) for value in row)


def id_in(body: str) -> str | None:
    """The id that an entry's text names."""
    try:
        found = json.loads(body)["id"]
    except (ValueError, TypeError, KeyError):
        return None
    return found if isinstance(found, str) else None


def device_of(file: Path) -> str | None:
    """Whose file it is, with its journal; None where that cannot be read."""
    return dict(_rows(file, AS_IT_STANDS, _FACTS)).get("device")


def _entry(entry_id: str, digest: object, body: object, aside: bool) -> FoundEntry | None:
    if not isinstance(body, str) or text_hash(body) != digest:
        return None
    try:
        said = json.loads(body)
        columns = {name: said[name] for name in ("id", "rec", "kind", "stamp")}
    except (ValueError, TypeError, KeyError):
        return None
    if not all(isinstance(value, str) for value in columns.values()):
        return None
    if aside:  # its id may be another than the one in its text, which the hash knows
        columns["id"] = entry_id
    return FoundEntry(**columns, hash=str(digest), body=body, aside=aside)


def _rows(file: Path, how: str, question: str) -> Iterator[tuple[Any, ...]]:
    """The rows up to the first that cannot be read."""
    try:
        with closing(sqlite3.connect(f"{file.resolve().as_uri()}?{how}", uri=True)) as driver:
            driver.text_factory = lambda raw: raw.decode(errors="replace")
            driver.execute("PRAGMA busy_timeout=5000")
            driver.execute("PRAGMA trusted_schema=OFF")
            driver.execute("PRAGMA cell_size_check=ON")
            yield from driver.execute(question)
    except sqlite3.Error:
        return

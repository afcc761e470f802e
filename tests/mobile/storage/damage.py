"""A phone that lived a while, was stopped, and whose files are then spoilt: what it held, and what is left of it."""

import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mobile.storage.beside import Beside
from mobile.storage.phone_store import PhoneStore
from shared_models.entries import Entry
from shared_models.records.gardens import Garden, Tree
from shared_models.records.tallies import TallyMark
from tests.mobile.pages import oldest_first, page
from tests.mobile.phones import SetClock, mark, picking_visit

PLACE, CHOICES = {"screen": "picking", "title": "Picking"}, {"scheme": "dusk", "type_size": 1.25}


@dataclass
class Held:
    """What a phone held: entries by id, what they amount to, and who it is."""

    entries: dict[str, Entry]
    records: list[Any]
    tallies: list[Any]
    identity: Any
    place: Any
    choices: Any
    newest_stamp: str


def held(store: PhoneStore, visit: str) -> Held:
    """Everything that a person would miss."""
    history = store.history(100_000)
    return Held(
        {entry.id: entry for entry in history},
        [store.all(kind) for kind in (Garden, Tree, TallyMark)],
        store.tallies(visit),
        store.identity,
        store.place(),
        store.choices(),
        history[0].stamp,
    )


@dataclass
class Stopped:
    """The folder of a phone that was stopped amid its work, and what it held then."""

    folder: Path
    visit: str
    before: Held
    shared: set[str]

    @property
    def file(self) -> Path:
        """The phone's file."""
        return self.folder / "phone.db"

    @property
    def beside(self) -> Beside:
        """What lies beside it."""
        return Beside(self.file)

    def again(self, clock: SetClock | None = None) -> "tuple[Held, PhoneStore]":
        """Start the phone again."""
        store = PhoneStore(self.file, clock) if clock else PhoneStore(self.file)
        return held(store, self.visit), store

    def in_folder(self, folder: Path) -> "Stopped":
        """The same in another folder, to be spoilt in another way."""
        shutil.copytree(self.folder, folder)
        return Stopped(folder, self.visit, self.before, self.shared)


def stopped_phone(folder: Path, marks: int = 60, clock: SetClock | None = None) -> Stopped:
    """A phone that shared some of its records, made a copy, went on, and was stopped: its journal is still there.

    Some of what it shared is in the copy; what it recorded after the last exchange is in the list.
    """
    clock = clock or SetClock()
    living = folder / "living"
    living.mkdir(parents=True)
    store = PhoneStore(living / "phone.db", clock)
    store.begin("Keeper (invented)", "Europe/Rome")
    visit = picking_visit(store)
    for _ in range(marks // 3):
        mark(store, visit)
    store.incoming.take(page(oldest_first(store)))
    shared = {entry.id for entry in store.history(100_000)}
    store.safe_keeping.keep_safe()
    clock.move(minutes=5)
    for number in range(marks // 3):
        last = mark(store, visit, "sting" if number % 3 else "clean")
    store.undo(last)
    _checkpoint(store)
    for _ in range(marks // 3):
        mark(store, visit, "deep_entry")
    store.save_place(PLACE)
    store.save_choices(CHOICES)
    before = held(store, visit)
    shutil.copytree(living, folder / "stopped", ignore=shutil.ignore_patterns("*-shm"))
    store.close()
    return Stopped(folder / "stopped", visit, before, shared)


def _checkpoint(store: PhoneStore) -> None:
    """Move what is in the journal into the file, as it happens every few hundred touches."""
    store._database._writer.driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")


Spoil = Callable[[Path, random.Random], None]


def flip_bits(file: Path, chance: random.Random) -> None:
    """One bit in each of a few pages, anywhere in the file."""
    whole = bytearray(file.read_bytes())
    for _ in range(chance.randint(1, 12)):
        whole[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
    file.write_bytes(whole)


def spoil_pages(file: Path, chance: random.Random) -> None:
    """Whole pages full of what was never written there."""
    whole = bytearray(file.read_bytes())
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(whole) // 4096) * 4096
        whole[place : place + 4096] = chance.randbytes(4096) if chance.random() < 0.5 else bytes(4096)
    file.write_bytes(whole)


def cut_short(file: Path, chance: random.Random) -> None:
    """The end of the file is missing."""
    with file.open("r+b") as pages:
        pages.truncate(chance.randrange(file.stat().st_size))


def spoil_head(file: Path, chance: random.Random) -> None:
    """The first bytes, by which SQLite knows its files."""
    whole = bytearray(file.read_bytes())
    whole[: chance.choice([16, 100, 4096])] = b"\0" * chance.choice([16, 100, 4096])
    file.write_bytes(whole)


def take_journal_away(file: Path, chance: random.Random) -> None:
    """What was not moved into the file yet is gone."""
    _journal(file).unlink()


def spoil_journal(file: Path, chance: random.Random) -> None:
    """Bits of the journal, or its end."""
    whole = bytearray(_journal(file).read_bytes())
    if chance.random() < 0.3:
        whole = whole[: chance.randrange(len(whole))]
    for _ in range(chance.randint(1, 8)):
        if whole:
            whole[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
    _journal(file).write_bytes(whole)


def take_file_away(file: Path, chance: random.Random) -> None:
    """Nothing but what lies beside it is left."""
    if chance.random() < 0.5:
        file.unlink()
    else:
        file.write_bytes(b"")


WAYS: tuple[Spoil, ...] = (
    flip_bits,
    spoil_pages,
    cut_short,
    spoil_head,
    take_journal_away,
    spoil_journal,
    take_file_away,
)


def _journal(file: Path) -> Path:
    return file.with_name("phone.db-wal")


def check(file: Path) -> str:
    """What SQLite finds wrong with a file; `ok` where nothing."""
    with closing(sqlite3.connect(file)) as connection:
        return str(connection.execute("PRAGMA integrity_check").fetchone()[0])

"""Phones for tests: real stores on real files, with a clock that can be set."""

import sqlite3
from datetime import datetime, timedelta, timezone
from pathlib import Path

from mobile.storage.phone_store import PhoneStore

SUMMER = timezone(timedelta(hours=2))


class SetClock:
    """A wall clock that stands until it is moved."""

    def __init__(self, start: datetime = datetime(2026, 9, 12, 10, 0, tzinfo=SUMMER)) -> None:
        self.time = start

    def __call__(self) -> datetime:
        return self.time

    def move(self, **by: float) -> None:
        """Go on (or back) by days, hours, minutes, seconds."""
        self.time += timedelta(**by)


class Phones:
    """Opens phones and closes them all at the end."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._open: list[PhoneStore] = []

    def open(self, name: str = "phone.db", clock: SetClock | None = None) -> PhoneStore:
        """A phone on its file, as after starting the app."""
        store = PhoneStore(self.folder / name, clock) if clock else PhoneStore(self.folder / name)
        self._open.append(store)
        return store

    def begun(self, name: str = "phone.db", clock: SetClock | None = None) -> PhoneStore:
        """A phone after its first start."""
        store = self.open(name, clock)
        store.begin(f"Keeper of {name}", "Europe/Rome")
        return store

    def in_the_file(self, name: str, statement: str, *values: object) -> None:
        """Change a phone's file behind its back, as an app of another version would have written it."""
        connection = sqlite3.connect(self.folder / name)
        with connection:
            connection.execute(statement, values)
        connection.close()

    def close(self) -> None:
        """Close every phone that was opened."""
        for store in self._open:
            store.close()


def picking_visit(store: PhoneStore, day: str = "2026-09-12") -> str:
    """A garden, a tree and a picking visit to it; returns the visit."""
    garden = store.record("garden", {"name": "Hill", "hemisphere": "north"})
    tree = store.record("tree", {"label": "7", "garden": garden})
    return store.record("visit", {"tree": tree, "round": "picking", "when": day})


def mark(store: PhoneStore, visit: str, scored: str = "clean") -> str:
    """One fruit tallied."""
    return store.record("mark", {"visit": visit, "marks": [scored], "source": "picked"})


def total(store: PhoneStore, visit: str) -> float:
    """Everything tallied on a visit."""
    return sum(count.n for count in store.tallies(visit))

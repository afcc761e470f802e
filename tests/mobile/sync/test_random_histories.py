"""Random histories of three phones and a server, over links that lose and cut: in the end all have the same."""

import contextlib
import os
import random
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from shared_models.errors import NotReachableError
from shared_models.protocol import SyncServer
from shared_models.season_records import from_entries
from tests.mobile.pages import oldest_first
from tests.mobile.phones import SUMMER, Phones, SetClock, mark, picking_visit

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server

STEPS = 80
SEEDS = int(os.environ.get("POMEWARD_HISTORIES", "4"))  # more of them look longer
SKEWS = (timedelta(0), timedelta(hours=-1), timedelta(days=700))


class Neighbours:
    """Three phones with clocks that disagree, a server, and an independent count of the fruit tallied."""

    def __init__(self, group: "Group", phones: Phones, chance: random.Random) -> None:
        self.group, self.phones, self.chance = group, phones, chance
        start = datetime(2026, 9, 12, 10, 0, tzinfo=SUMMER)
        self.clocks = [SetClock(start + skew) for skew in SKEWS]
        self.stores = [phones.begun(self._name(one), clock) for one, clock in enumerate(self.clocks)]
        for store in self.stores:
            group.connect(store)
        self.visit = picking_visit(self.stores[0])
        for store in self.stores:
            exchange(store, group.door(store))
        self.made: set[str] = set()
        self.undone: set[str] = set()
        self.names: list[str] = []
        self.backup = self._copy_of_server()

    def step(self, put_back: Callable[["Neighbours"], None]) -> None:
        """Something happens."""
        one = self.chance.randrange(3)
        self.clocks[one].move(seconds=self.chance.choice((0, 1, 60, -30)))
        chosen = self.chance.random()
        if chosen < 0.45:
            self.made.add(mark(self.stores[one], self.visit))
        elif chosen < 0.6:
            self._undo(self.stores[one])
        elif chosen < 0.95:
            self._try_to_exchange(self.stores[one])
        else:
            put_back(self)

    def heal(self) -> None:
        """Everybody exchanges until nobody has news."""
        for _ in range(2):
            for store in self.stores:
                exchange(store, self.group.door(store))

    def put_server_back(self) -> None:
        """The server returns to an earlier copy of its file."""
        if self.chance.random() < 0.5:
            self.backup = self._copy_of_server()
            return
        self.group.database.close()
        shutil.copy(self.backup, self.group.file)
        self.group.reopen()

    def put_phone_back(self) -> None:
        """A phone that has shared everything returns to a copy made just before its last marks."""
        one = self.chance.randrange(3)
        exchange(self.stores[one], self.group.door(self.stores[one]))
        self.stores[one].close()
        file = self.phones.folder / self._name(one)
        copy = shutil.copy(file, file.with_suffix(".copy"))
        self.stores[one] = self.phones.open(self._name(one), self.clocks[one])
        self.made.update(mark(self.stores[one], self.visit) for _ in range(3))
        exchange(self.stores[one], self.group.door(self.stores[one]))
        self.stores[one].close()
        shutil.copy(copy, file)
        self.stores[one] = self.phones.open(self._name(one), self.clocks[one])

    def _undo(self, store: PhoneStore) -> None:
        newest = store.newest_own_mark(self.visit)
        if newest:
            store.undo(newest)
            self.undone.add(newest)

    def _try_to_exchange(self, store: PhoneStore) -> None:
        with contextlib.suppress(NotReachableError):
            exchange(store, self._link(self.group.door(store)))

    def _link(self, door: SyncServer) -> SyncServer:
        from tests.mobile.sync.group import LosesAnswers, Narrow, ShortPages

        return self.chance.choice(
            [door, LosesAnswers(door), ShortPages(door, 5, self.chance.randrange(4)), Narrow(door, 2000)]
        )

    def _copy_of_server(self) -> Path:
        self.group.database.close()
        copy = Path(shutil.copy(self.group.file, self.phones.folder / "server.copy"))
        self.group.reopen()
        return copy

    @staticmethod
    def _name(one: int) -> str:
        return f"phone{one}.db"


@pytest.mark.parametrize("put_back", [Neighbours.put_server_back, Neighbours.put_phone_back])
@pytest.mark.parametrize("seed", range(SEEDS))
def test_phones_and_server_end_with_the_same_whatever_happened(
    group: "Group", phones: Phones, seed: int, put_back: Callable[[Neighbours], None]
) -> None:
    neighbours = Neighbours(group, phones, random.Random(seed))
    for _ in range(STEPS):
        neighbours.step(put_back)
    neighbours.heal()
    live = len(neighbours.made - neighbours.undone)
    seasons = [store.season("2026") for store in neighbours.stores]
    assert seasons[0] == seasons[1] == seasons[2]
    for store in neighbours.stores:
        assert sum(count.n for count in store.tallies(neighbours.visit)) == live
        assert store.season("2026") == from_entries(oldest_first(store), "2026")
        assert store.sharing().waiting == 0 and store.sharing().needs_a_look == []
    held = {entry.id for entry in oldest_first(neighbours.stores[0])}
    page = group.door(neighbours.stores[0]).pull(0, 2000)
    assert {item.entry["id"] for item in page.items} == held
    assert [item.seq for item in page.items] == list(range(1, len(held) + 1))

"""Phones that live at a given moment, and the group's server that they share with."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from mobile.workflows import first_start
from shared_models.reports import SeasonReport, season_report
from tests.mobile.phones import SetClock
from tests.mobile.sync.served import Served, serving

ZONE = "Europe/Rome"


@dataclass
class Helper:
    """A person with a phone. `goes_to` sets the phone's clock; `shares` exchanges over real HTTP."""

    store: PhoneStore
    url: str
    clock: SetClock

    def goes_to(self, day: str, at: str = "10:00") -> None:
        """Live at this moment from now on."""
        self.clock.time = datetime.fromisoformat(f"{day}T{at}").replace(tzinfo=ZoneInfo(ZONE))

    def shares(self) -> None:
        """Send and fetch."""
        member = self.store.membership.current()
        assert member
        with RemoteServer(self.url, member.token) as server:
            exchange(self.store, server)

    def report(self, key: str = "2026") -> SeasonReport:
        """The season as this phone sees it."""
        return season_report(self.store.season(key))


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A real server on loopback, on an SQLite file of its own."""
    with serving(tmp_path / "server") as served:
        yield served


@pytest.fixture
def helper(served: Served, tmp_path: Path) -> Iterator[Callable[[str], Helper]]:
    """Makes people with connected phones."""
    made: list[Helper] = []

    def make(name: str) -> Helper:
        clock = SetClock(datetime(2026, 4, 1, 10, tzinfo=ZoneInfo(ZONE)))
        store = PhoneStore(tmp_path / f"{name}.sqlite", clock)
        first_start.begin(store, name, ZONE)
        connect(served.url, served.code(), store, f"{name}'s phone")
        made.append(Helper(store, served.url, clock))
        return made[-1]

    yield make
    for one in made:
        one.store.close()

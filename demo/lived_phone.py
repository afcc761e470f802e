"""A phone that lives through the invented seasons: a real store with a clock that the demo sets. Knows no doings."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from demo.place import PHONES
from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import ExchangeOutcome, exchange
from mobile.sync.remote_server import RemoteServer
from mobile.workflows import first_start


class LivedPhone:
    """One person's phone, offline but for the moments in which it shares."""

    def __init__(self, name: str, file: Path, first_moment: datetime) -> None:
        self.name = name
        self._moment = first_moment
        file.parent.mkdir(parents=True, exist_ok=True)
        self.store = PhoneStore(file, clock=lambda: self._moment)
        first_start.begin(self.store, PHONES[name].person, PHONES[name].zone)

    def set_clock(self, moment: datetime) -> None:
        """It is that moment now."""
        self._moment = moment

    def let_pass(self, seconds: float) -> None:
        """Some seconds go by."""
        later = self._moment.astimezone(UTC) + timedelta(seconds=seconds)
        self._moment = later.astimezone(self._moment.tzinfo)

    def connect(self, address: str, code: str) -> None:
        """Become a device of the group, by a one-time code."""
        connect(address, code, self.store, f"phone of {PHONES[self.name].person}")

    def share(self) -> ExchangeOutcome:
        """Exchange with the server, over HTTP."""
        member = self.store.membership.current()
        if member is None:
            raise RuntimeError(f"The phone of {self.name} was never connected.")
        with RemoteServer(member.server, member.token) as server:
            return exchange(self.store, server)

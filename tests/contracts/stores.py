"""The three stores behind one small interface. Each is the real one, reached the way entries really reach it."""

import contextlib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Protocol

from mobile.storage.outbox import Waits
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from server.database import season
from server.database.engine import Database, open_database
from server.database.looks import open_looks
from server.services.connecting import Connecting
from server.services.exchange import Exchange
from shared_models.blind_edits import BlindEdit, together
from shared_models.entries import Entry, canonical_text
from shared_models.fold import FoldedRecord, fold
from shared_models.identifiers import new_id
from shared_models.protocol import ConnectReply, ConnectRequest
from shared_models.records.kinds import is_known
from shared_models.season.double_counts import DoubleCount
from shared_models.season_records import SeasonRecords
from shared_models.store import entry_log, state
from shared_models.store.entry_log import LoggedEntry
from shared_models.store.tables import OWN_GROUP
from shared_models.vocabulary import Role

BATCH = 500


class StoreOfEntries(Protocol):
    """What phone and server both are to the entries: a log with dense numbers, and the records folded from it."""

    def give(self, entries: Sequence[Entry]) -> None:
        """Let entries arrive together; those that are there already change nothing."""

    def page(self, since: int, limit: int) -> list[LoggedEntry]:
        """The entries numbered after `since`."""

    def known(self, ids: Sequence[str]) -> set[str]:
        """Those of these ids that are there."""

    def folded(self, rec: str) -> FoldedRecord | None:
        """A record as it stands."""

    def unfolded(self) -> list[str]:
        """Records that could not be folded."""

    def season(self, key: str) -> SeasonRecords:
        """What a season's report looks at."""

    def season_keys(self) -> list[str]:
        """The seasons that there is anything for."""

    def looks(self) -> tuple[list[BlindEdit], list[DoubleCount]]:
        """What people have to decide."""


class ServerStore:
    """A group on a server's database; entries arrive by push."""

    def __init__(self, url: str) -> None:
        self.database: Database = open_database(url)
        self.connecting = Connecting(self.database, b"key of the tests")
        self.group = self.connecting.make_group("Hillside (invented)")
        self.exchange = self.door(self.connect(new_id(), new_id()))

    def connect(self, device: str, person: str) -> ConnectReply:
        """A device more in the group."""
        code = self.connecting.invite(self.group, Role.KEEPER)
        names = {"device_name": "phone", "person_name": "Keeper"}
        return self.connecting.connect(ConnectRequest(code=code, device=device, person=person, **names))

    def door(self, reply: ConnectReply) -> Exchange:
        """The exchange of a device."""
        return Exchange(self.database, self.connecting.device_of(reply.token))

    def give(self, entries: Sequence[Entry]) -> None:
        """Push them."""
        for start in range(0, len(entries), BATCH):
            texts = [canonical_text(entry) for entry in entries[start : start + BATCH]]
            self.exchange.push(texts, self.exchange.epoch())

    def page(self, since: int, limit: int) -> list[LoggedEntry]:
        """As they lie in the log."""
        with self.database.reading() as connection:
            return entry_log.page(connection, self.group.id, since, limit)

    def known(self, ids: Sequence[str]) -> set[str]:
        """As the log knows them."""
        with self.database.reading() as connection:
            return set(entry_log.known(connection, self.group.id, ids))

    def folded(self, rec: str) -> FoldedRecord | None:
        """Its row, or for a mark its entries."""
        with self.database.writing() as connection:
            season.bring_up_to_log(connection, self.group.id)
            found = state.find(connection, self.group.id, rec)
            return found or _folded(entry_log.of_records(connection, self.group.id, [rec]))

    def unfolded(self) -> list[str]:
        """As they stay behind."""
        with self.database.writing() as connection:
            season.bring_up_to_log(connection, self.group.id)
            return state.unfolded(connection, self.group.id)

    def season(self, key: str) -> SeasonRecords:
        """As the report asks for it."""
        with self.database.writing() as connection:
            return season.season_records(connection, self.group.id, key)

    def season_keys(self) -> list[str]:
        """As the pages ask for them."""
        with self.database.writing() as connection:
            return season.season_keys(connection, self.group.id)

    def looks(self) -> tuple[list[BlindEdit], list[DoubleCount]]:
        """As the pages ask for it."""
        with self.database.writing() as connection:
            return open_looks(connection, self.group.id)


class PhoneAsStore:
    """A phone's file; entries arrive by its exchange with a server."""

    def __init__(self, store: PhoneStore, server: ServerStore) -> None:
        self.store = store
        self.server = server
        reply = server.connect(new_id(), new_id())
        store.membership.join("https://orchard.example", reply)
        self._door = server.door(reply)

    def give(self, entries: Sequence[Entry]) -> None:
        """Let another device push them, then fetch."""
        self.server.give(entries)
        exchange(self.store, self._door)

    def page(self, since: int, limit: int) -> list[LoggedEntry]:
        """As they lie in the phone's log."""
        with self.store._database.reading() as core:
            return entry_log.page(core, OWN_GROUP, since, limit)

    def known(self, ids: Sequence[str]) -> set[str]:
        """As the phone's log knows them."""
        with self.store._database.reading() as core:
            return set(entry_log.known(core, OWN_GROUP, ids))

    def folded(self, rec: str) -> FoldedRecord | None:
        """As workflows ask for it."""
        return self.store.folded(rec)

    def unfolded(self) -> list[str]:
        """As the person is told."""
        looks = self.store.sharing().needs_a_look
        return sorted(look.rec for look in looks if look.state is Waits.UNFOLDED)

    def season(self, key: str) -> SeasonRecords:
        """As the report asks for it."""
        return self.store.season(key)

    def season_keys(self) -> list[str]:
        """As screens ask for them."""
        return self.store.season_keys()

    def looks(self) -> tuple[list[BlindEdit], list[DoubleCount]]:
        """As screens ask for it, and as many as the top line counts."""
        found = self.store.looks.blind_edits(), self.store.looks.double_counts()
        assert self.store.looks.count() == len(together(found[0])) + len(found[1])
        return found


@contextlib.contextmanager
def server_store(url: str) -> Iterator[ServerStore]:
    """A server's store, open until the block ends."""
    store = ServerStore(url)
    try:
        yield store
    finally:
        store.database.close()


@contextlib.contextmanager
def phone_store(folder: Path) -> Iterator[PhoneAsStore]:
    """A phone's store beside a server of its group, open until the block ends."""
    phone = PhoneStore(folder / "phone.db")
    try:
        with server_store(f"sqlite:///{folder / 'feeding.sqlite'}") as server:
            yield PhoneAsStore(phone, server)
    finally:
        phone.close()


def _folded(entries: Iterable[Entry]) -> FoldedRecord | None:
    readable = [entry for entry in entries if is_known(entry.kind, entry.v)]
    return fold(readable) if readable else None

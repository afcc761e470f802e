"""One group on a real server, SQLite or PostgreSQL, that can be put back to an earlier state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Table, delete, select

from mobile.storage.phone_store import PhoneStore
from server.database import season
from server.database.engine import Database
from server.database.members import Group
from server.database.recovery import begin_recovery
from server.database.tables import GROUP_COUNTER, HELD_BACK, RECEIPT
from server.services.connecting import Connecting
from server.services.exchange import Exchange
from shared_models.identifiers import new_id
from shared_models.protocol import ConnectRequest
from shared_models.season_records import SeasonRecords
from shared_models.store.tables import ENTRY, MARK, RECORD, TOUCHED
from shared_models.vocabulary import Role

KEPT = (GROUP_COUNTER, RECEIPT, HELD_BACK, ENTRY, RECORD, MARK, TOUCHED)


@dataclass(frozen=True, slots=True)
class Backup:
    """All rows of a group at one moment."""

    rows: dict[str, list[dict[str, Any]]]


class ServerSide:
    """The group, a new one where none is named, seen by those who run the server."""

    def __init__(self, database: Database, group: Group | None = None) -> None:
        self._database = database
        self._connecting = Connecting(database, b"key of the tests")
        self.group = group or self._connecting.make_group(f"Hillside {new_id()} (invented)")

    def connect(self, store: PhoneStore) -> None:
        """Make a phone a device of the group, or connect it anew."""
        assert store.identity
        code = self._connecting.invite(self.group, Role.KEEPER)
        names = {"device_name": "phone", "person_name": "Keeper"}
        ids = {"device": store.identity.device, "person": store.identity.person}
        reply = self._connecting.connect(ConnectRequest(code=code, **ids, **names))
        store.membership.join("https://orchard.example", reply)

    def door(self, store: PhoneStore) -> Exchange:
        """The exchange of a phone that is connected."""
        member = store.membership.current()
        assert member
        return Exchange(self._database, self._connecting.device_of(member.token))

    def back_up(self) -> Backup:
        """Everything of the group but who is connected."""
        with self._database.reading() as connection:
            return Backup(
                {
                    table.name: [
                        dict(row._mapping)
                        for row in connection.execute(select(table).where(_of(table, self.group.id)))
                    ]
                    for table in KEPT
                }
            )

    def put_back(self, backup: Backup, said: bool) -> None:
        """Return to an earlier state; `said`: by the command, which says so to the phones."""
        with self._database.writing() as connection:
            for table in KEPT:
                connection.execute(delete(table).where(_of(table, self.group.id)))
                if backup.rows[table.name]:
                    connection.execute(table.insert(), backup.rows[table.name])
            if said:
                begin_recovery(connection, self.group.id)

    def entries(self) -> dict[str, int]:
        """Number by id of everything in the log."""
        with self._database.reading() as connection:
            rows = connection.execute(select(ENTRY.c.id, ENTRY.c.seq).where(_of(ENTRY, self.group.id)))
            return {row.id: row.seq for row in rows}

    def season(self, key: str) -> SeasonRecords:
        """What the server's report is made of."""
        with self._database.writing() as connection:
            return season.season_records(connection, self.group.id, key)


def _of(table: Table, group: str) -> Any:
    return table.c.group_id == group

"""What an import has to write, written into a group through the exchange, as one device of the group. Knows no table."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from server.database.engine import Database
from server.database.members import Device
from server.database.records import GroupRecords
from server.services.exchange import Exchange
from server.services.moments import now_utc
from shared_models.entries import Entry, canonical_text, with_plain_numbers
from shared_models.errors import StoreError
from shared_models.fold import replaced_by
from shared_models.identifiers import derived_id, new_id
from shared_models.language import say
from shared_models.protocol import MAX_PUSH_ENTRIES, PushState
from shared_models.records.gardens import Person
from shared_models.records.kinds import KINDS
from shared_models.score_table.planning import Change
from shared_models.stamps import EARLIEST_MS, HybridClock
from shared_models.vocabulary import Role


def bodies_of(group: str, records: GroupRecords, changes: Sequence[Change]) -> list[str]:
    """The entries of these changes as canonical texts, each later than everything that the group has."""
    return _Scribe(group, records).bodies(list(changes))


def push_import(database: Database, group: str, bodies: Sequence[str]) -> None:
    """Push in parts that a push takes; StoreError where one is not taken.

    What was pushed before a failure stays, and the same import goes on from there.
    """
    exchange = Exchange(database, _device(group))
    for start in range(0, len(bodies), MAX_PUSH_ENTRIES):
        reply = exchange.push(list(bodies[start : start + MAX_PUSH_ENTRIES]), exchange.epoch())
        wrong = next((one for one in reply.results if one.state is not PushState.SHARED), None)
        if wrong is not None:
            raise StoreError(
                say(
                    "The server did not take a record of the table: {reason} What came before it is kept; "
                    "import the table again.",
                    reason=wrong.detail or "",
                )
            )


@dataclass(frozen=True, slots=True)
class _Author:
    """Who writes: the same for every import into a group, so that nobody has to be invented twice."""

    device: str
    person: str


def _author(group: str) -> _Author:
    return _Author(
        device=derived_id(EARLIEST_MS, "import", group, "device"),
        person=derived_id(EARLIEST_MS, "import", group, Person.kind),
    )


def _device(group: str) -> Device:
    """The server itself as a device of the group; it holds no token, so that nobody can connect as it."""
    author = _author(group)
    return Device(
        group=group,
        id=author.device,
        role=Role.KEEPER,
        device=author.device,
        device_name="import",
        person=author.person,
        person_name="import",
        connected_at=now_utc(),
    )


class _Scribe:
    """Makes the entries of an import, each later than everything that the group has."""

    def __init__(self, group: str, records: GroupRecords) -> None:
        self._records = records
        self._author = _author(group)
        self._clock = HybridClock()
        self._clock.receive(records.newest_stamp() or "0")
        self._now = datetime.now(UTC)

    def bodies(self, changes: list[Change]) -> list[str]:
        """The canonical texts, the author's own record first where the group does not have it yet."""
        if changes and self._records.folded(self._author.person) is None:
            author = Change(Person.kind, self._author.person, {"name": "import"}, new=True)
            changes = [author, *changes]
        return [canonical_text(self._entry(change)) for change in changes]

    def _entry(self, change: Change) -> Entry:
        """An entry with an id of its own even where it makes its record.

        A phone that imports the same table makes an entry on the same record, and the two never meet as one id.
        """
        wall_ms = int(self._now.timestamp() * 1000)
        fields = with_plain_numbers(change.fields)
        return Entry(
            id=new_id(wall_ms),
            rec=change.rec,
            kind=change.kind,
            v=KINDS[change.kind].version,
            f=fields,
            prev=replaced_by(self._records.folded(change.rec), fields),
            entered=self._now.isoformat(timespec="seconds"),
            tz="UTC",
            by=self._author.person,
            device=self._author.device,
            stamp=self._clock.tick(wall_ms),
        )

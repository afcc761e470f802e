"""The phone's records: what was recorded is durable when the call returns. Knows no screen and no network.

One SQLite file holds one group's records; any thread may call.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from json import dumps, loads
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo, available_timezones

from mobile.storage import facts, outbox, reading
from mobile.storage.copies import Copies
from mobile.storage.drafts import Draft
from mobile.storage.facts import Fact, Identity
from mobile.storage.few_records import FewRecords
from mobile.storage.held_back import fields_to_mend
from mobile.storage.incoming import Incoming
from mobile.storage.looking_through import Looking
from mobile.storage.looks import Looks
from mobile.storage.membership import Membership
from mobile.storage.outbox import SharingState
from mobile.storage.outgoing import Outgoing
from mobile.storage.pen import Pen
from mobile.storage.recovery import opened
from mobile.storage.safe_keeping import SafeKeeping
from mobile.storage.touch import TouchStatements
from shared_models.entries import Entry
from shared_models.errors import BadInputError
from shared_models.fold import DELETED, FoldedRecord
from shared_models.identifiers import new_id
from shared_models.language import say
from shared_models.records.fields import Record
from shared_models.records.gardens import Person
from shared_models.season_records import SeasonRecords, TallyCount
from shared_models.seasons import is_season_key
from shared_models.store import state
from shared_models.store.season_keys import season_keys
from shared_models.store.tables import OWN_GROUP

R = TypeVar("R", bound=Record)


def now_here() -> datetime:
    """The device's time with its offset."""
    return datetime.now().astimezone()


class PhoneStore:
    """Everything that this phone holds. StoreError where the device fails; then nothing was changed.

    `few` reads the few records that a touch is about; `membership`, `outgoing`, `incoming` and `looking` are the sides
    that the exchange with a server works on; `copies` are files that leave the phone and come to it; `safe_keeping` is
    for the day on which the file cannot be read.
    """

    def __init__(self, path: Path, clock: Callable[[], datetime] = now_here) -> None:
        self.clock = clock
        self._database = opened(path, lambda: self.clock())
        with self._database.writing() as line:
            self._statements = TouchStatements(line.core)
        self._identity: Identity | None = None
        self.membership = Membership(self._database)
        self.few = FewRecords(self._database)
        self.looks = Looks(self._database)
        self.outgoing = Outgoing(self._database)
        self.incoming = Incoming(self._database, self._statements)
        self.looking = Looking(self._database, self.now)
        self.incoming.read_again()
        self.safe_keeping = SafeKeeping(self._database, lambda: self.clock())
        self.copies = Copies(self._database, self._statements)

    @property
    def identity(self) -> Identity | None:
        """Who this phone is; None before its first start."""
        if self._identity is None:
            with self._database.reading() as core:
                self._identity = facts.identity(core)
        return self._identity

    def now(self) -> datetime:
        """The time in the gardens' zone, whatever zone the device believes in."""
        return self.clock().astimezone(ZoneInfo(self.identity.zone) if self.identity else None)

    def begin(self, person_name: str, zone: str) -> Identity:
        """First start: give the phone its device id and its first person."""
        if zone not in available_timezones():
            raise BadInputError(
                say("“{zone}” is no time zone; choose one such as Europe/Rome.", zone=zone[:40]), "zone"
            )
        now = self.clock().astimezone(ZoneInfo(zone))
        wall_ms = int(now.timestamp() * 1000)
        identity = Identity(device=new_id(wall_ms), person=new_id(wall_ms), zone=zone)
        first = Draft(Person.kind, {"name": person_name}, identity.person)
        with self._database.writing() as line:
            if facts.identity(line.core) is not None:
                raise BadInputError(say("This phone has been set up already; its records stay as they are."))
            facts.note(
                line.core,
                {Fact.DEVICE: identity.device, Fact.PERSON: identity.person, Fact.ZONE: identity.zone},
            )
            pen = Pen(line, self._statements, identity, now)
            pen.write([first])
        self.safe_keeping.begun(identity)
        self.safe_keeping.added(pen.written)
        return identity

    def record(self, kind: str, fields: dict[str, Any], rec: str | None = None) -> str:
        """Record one thing, durable when this returns; returns the id of its record.

        A new record where `rec` is None (or has no entry here yet), else an edit of it. BadInputError names
        the field that cannot be taken, and nothing is stored.
        """
        return self.record_all([Draft(kind, fields, rec)])[0]

    def record_all(self, drafts: Sequence[Draft]) -> list[str]:
        """Record several things in their order, all or none."""
        author, now = self._author(), self.now()
        if not drafts:
            return []
        with self._database.writing() as line:
            pen = Pen(line, self._statements, author, now)
            recs = pen.write(drafts)
        self.safe_keeping.added(pen.written)
        return recs

    def undo(self, rec: str) -> None:
        """Take a record back; it stays in the history."""
        self._say_deleted(rec, True)

    def redo(self, rec: str) -> None:
        """Put an undone record back."""
        self._say_deleted(rec, False)

    def get(self, kind: type[R], rec: str) -> R | None:
        """The record of that kind and id; None where there is none or it was undone."""
        with self._database.reading() as core:
            return reading.record(core, kind, rec)

    def all(self, kind: type[R]) -> list[R]:
        """The live records of a kind, by id."""
        with self._database.reading() as core:
            return reading.records(core, kind)

    def folded(self, rec: str) -> FoldedRecord | None:
        """A record of any kind as it stands, undone ones too, with the entry that gave each field its value."""
        with self._database.reading() as core:
            return reading.folded(core, rec)

    def held_back(self, rec: str) -> dict[str, Any] | None:
        """All fields of a record that the server holds back, to be recorded on it again with what was wrong corrected.

        None where the record is complete without what is held back.
        """
        with self._database.reading() as core:
            return fields_to_mend(core, rec)

    def tallies(self, visit: str) -> list[TallyCount]:
        """What was tallied on a visit: marks counted, numbers and adjustments each."""
        with self._database.reading() as core:
            return reading.tallies(core, visit)

    def newest_own_mark(self, visit: str) -> str | None:
        """The mark that "−1" takes back: the newest live one made here."""
        device = self._author().device
        with self._database.reading() as core:
            return state.newest_mark(core, OWN_GROUP, visit, device)

    def history(self, limit: int = 50, before: str | None = None) -> list[Entry]:
        """The newest entries first; `before` is the id of the last entry seen, to go on below it."""
        with self._database.reading() as core:
            return reading.history(core, limit, before)

    def entries_of(self, rec: str) -> list[Entry]:
        """All versions of a record, oldest first."""
        with self._database.reading() as core:
            return reading.entries_of(core, rec)

    def entries_held(self) -> int:
        """How many entries this phone holds; none ever goes, so the same number means that nothing came."""
        with self._database.reading() as core:
            return reading.entries_held(core)

    def season(self, key: str) -> SeasonRecords:
        """Everything that the season's report looks at."""
        if not is_season_key(key):
            raise BadInputError(
                say(
                    "“{key}” names no season; write 2026 in the north or 2026/27 in the south.", key=key[:40]
                ),
                "season",
            )
        with self._database.reading() as core:
            return state.season_records(core, OWN_GROUP, key)

    def season_keys(self) -> list[str]:
        """The seasons that this phone has anything for, in order."""
        with self._database.reading() as core:
            return season_keys(core, OWN_GROUP)

    def sharing(self) -> SharingState:
        """What is on this phone only, what needs a look, and what is shared."""
        with self._database.reading() as core:
            return outbox.sharing_state(core)

    def save_place(self, place: dict[str, Any]) -> None:
        """Remember where in the app the person is, for the next start."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.PLACE: dumps(place)})

    def place(self) -> dict[str, Any] | None:
        """Where the person was; None at first start."""
        with self._database.reading() as core:
            place = facts.read(core, Fact.PLACE)
        return dict(loads(place)) if place else None

    def keep_unfinished(self, name: str, plain: dict[str, Any] | None) -> None:
        """Keep what is no record until it is whole, such as the first of two scorers' marks; None forgets it."""
        with self._database.writing() as line:
            kept = loads(facts.read(line.core, Fact.UNFINISHED) or "{}")
            kept.pop(name, None)
            whole = kept if plain is None else kept | {name: plain}
            facts.note(line.core, {Fact.UNFINISHED: dumps(whole)})

    def unfinished(self, name: str) -> dict[str, Any] | None:
        """What was kept under this name; None where nothing was."""
        with self._database.reading() as core:
            found = loads(facts.read(core, Fact.UNFINISHED) or "{}").get(name)
        return dict(found) if found is not None else None

    def save_choices(self, choices: dict[str, Any]) -> None:
        """Remember what the person chose for this device."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.CHOICES: dumps(choices)})

    def choices(self) -> dict[str, Any]:
        """What the person chose for this device; empty where nothing was."""
        with self._database.reading() as core:
            return dict(loads(facts.read(core, Fact.CHOICES) or "{}"))

    def close(self) -> None:
        """Let go of the file; nothing waits to be saved."""
        self.safe_keeping.close()
        self._database.close()

    def _author(self) -> Identity:
        if self.identity is None:
            raise BadInputError(say("This phone has not been set up yet; give a name and a time zone first."))
        return self.identity

    def _say_deleted(self, rec: str, deleted: bool) -> None:
        found = self.folded(rec)
        if found is None:
            raise BadInputError(say("This record is not on this phone."), "rec")
        if found.deleted != deleted:
            self.record(found.kind, {DELETED: deleted}, rec)

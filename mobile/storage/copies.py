"""Copies of this phone's records as files: made, noted, and taken in. Knows no network, no screen and no season.

Making one reads a moment of the phone's file and writes nothing into it. Taking one in looks all through it first, then
merges it in small transactions: touches are written in between, and one that is broken off is simply taken in again.
"""

import json
from collections.abc import Collection, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import asdict, dataclass, field, fields
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import ColumnElement, and_, func, select

from mobile.storage import facts
from mobile.storage.copy_merge import merge_copied
from mobile.storage.copy_place import free_name, opened, written_whole
from mobile.storage.copy_snapshot import Snapshot, snapshot
from mobile.storage.database import Database
from mobile.storage.facts import Fact
from mobile.storage.outbox import Waits
from mobile.storage.own_tables import OUTBOX
from mobile.storage.touch import TouchStatements
from shared_models.copy_file.lines import CopiedEntry, Wrong, id_of, read_line
from shared_models.copy_file.manifest import About, Manifest
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.store import entry_log, state
from shared_models.store.tables import ENTRY, OWN_GROUP

if TYPE_CHECKING:
    from shared_models.copy_file.reading import CopyInHand

PART = 100  # entries of one transaction: a touch waits for one of them at most
MOST_TOLD = 20  # lines that are named one by one


@dataclass(frozen=True, slots=True)
class LastCopy:
    """The copy that was made last: when, how many entries, where it was put, and whether it was tried out.

    Whatever was recorded here later has a greater `stamp`.
    """

    made: str
    entries: int
    file: str
    stamp: str
    tried: bool = False


@dataclass(frozen=True, slots=True)
class OnlyHere:
    """How many entries no server has, how many of these are in no copy either, and the id of the oldest of them."""

    unshared: int
    in_no_copy: int
    oldest: str | None


@dataclass(frozen=True, slots=True)
class Seen:
    """A copy that was looked through: what it says of itself, how much of it is new here, and what was looked for."""

    manifest: Manifest
    new: int
    found: int


@dataclass(slots=True)
class TakenIn:
    """What came of a copy: entries that were new (`unread` of them cannot be shown by this app), here already, not taken.

    `told` names the first lines that were not taken, counted from 1, and why.
    """

    of: str = ""
    made: str = ""
    new: int = 0
    unread: int = 0
    here: int = 0
    refused: int = 0
    told: list[tuple[int, Wrong]] = field(default_factory=list)

    def add_wrong(self, line: int, why: Wrong) -> None:
        """One more line that was not taken; the first few are named."""
        self.refused += 1
        if len(self.told) < MOST_TOLD:
            self.told.append((line, why))


class Copies:
    """The way of this phone's records into files and of files into its records. StoreError where the device fails."""

    def __init__(self, database: Database, statements: TouchStatements) -> None:
        self._database = database
        self._statements = statements

    @property
    def folder(self) -> Path:
        """The folder of the phone's file."""
        return self._database.path.parent

    # ------------------------------------------------------------ making
    def moment(self) -> AbstractContextManager[Snapshot]:
        """The records as they are now, to be read on any thread without anybody waiting for it."""
        return snapshot(self._database.path)

    def write(self, moment: Snapshot, folder: Path, of: str, made: datetime) -> LastCopy:
        """Write a copy of a moment into a folder; it is not noted yet. TooLargeError where no app would read it."""
        from shared_models.copy_file.writing import write_copy  # a start need not wait for it

        about = About(made=made.isoformat(timespec="seconds"), of=of[:200], group=moment.fact(Fact.GROUP))
        name = free_name(folder, made)
        with written_whole(name) as file:
            manifest = write_copy(file, moment.bodies(), about)
        return LastCopy(about.made, manifest.entries, str(name), moment.fact(Fact.LAST_STAMP) or "")

    def note(self, copy: LastCopy) -> None:
        """Remember a copy as the last one."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.LAST_COPY: json.dumps(asdict(copy))})

    def last(self) -> LastCopy | None:
        """The copy that was made last; None where none was."""
        with self._database.reading() as core:
            found: LastCopy | None = _from_fact(LastCopy, facts.read(core, Fact.LAST_COPY))
        return found

    def only_here(self) -> OnlyHere:
        """What would be lost with this phone. What a server holds back it has; everything else in the outbox it lacks."""
        last = self.last()
        lacking = OUTBOX.c.state != Waits.HELD_BACK.value
        with self._database.reading() as core:
            all_of_it = core.execute(_counted(lacking)).one()
            since = core.execute(_counted(lacking, ENTRY.c.stamp > last.stamp)).one() if last else all_of_it
        return OnlyHere(all_of_it[0], since[0], since[1])

    # ------------------------------------------------------------ taking in
    def look(self, file: Path, looked_for: Collection[str] = ()) -> Seen:
        """Look all through a copy; BadInputError where it is none, is damaged, or is another group's.

        `found` counts those ids of it that are among `looked_for`.
        """
        with _copy_in(file) as copy:
            return self._look(copy, looked_for)

    def take(self, file: Path) -> TakenIn:
        """Take a copy in, after looking all through it. Twice changes nothing; broken off, a part of it is here."""
        with _copy_in(file) as copy:
            self._look(copy, ())
            taken = TakenIn(copy.manifest.of, copy.manifest.made)
            lines = enumerate(copy.lines(), 1)
            while part := list(islice(lines, PART)):
                self._take(part, taken)
        return taken

    def note_taken(self, taken: TakenIn) -> None:
        """Remember what came of the last copy that was taken in, for whoever looks later."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.TAKEN_IN: json.dumps(asdict(taken))})

    def taken(self) -> TakenIn | None:
        """What came of the last one; None where none was taken in."""
        with self._database.reading() as core:
            found: TakenIn | None = _from_fact(TakenIn, facts.read(core, Fact.TAKEN_IN))
        if found is not None:
            found.told = [(line, Wrong(why)) for line, why in found.told]
        return found

    def keep_out(self, entries: dict[str, str]) -> None:
        """Let entries stand aside as they do where they come from; for trying a copy out."""
        with self._database.writing() as line:
            for entry_id, rec in entries.items():
                entry_log.set_aside(line.core, OWN_GROUP, entry_id, rec, True)
            state.refold_touched(line.core, OWN_GROUP)

    def _look(self, copy: "CopyInHand", looked_for: Collection[str]) -> Seen:
        with self._database.reading() as core:
            own, own_name = facts.read(core, Fact.GROUP), facts.read(core, Fact.GROUP_NAME)
        if own and copy.manifest.group and copy.manifest.group != own:
            raise BadInputError(_another_group(own_name or "", copy.manifest.of))
        ids = (named for line in copy.lines() if (named := id_of(line)) is not None)
        new = found = 0
        while part := set(islice(ids, entry_log.CHUNK)):
            new += self._not_here(part)
            found += len(part.intersection(looked_for))
        return Seen(copy.manifest, new, found)

    def _not_here(self, ids: set[str]) -> int:
        held = select(func.count()).where(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id.in_(ids))
        with self._database.reading() as core:
            return len(ids) - core.execute(held).scalar_one()

    def _take(self, part: list[tuple[int, bytes]], taken: TakenIn) -> None:
        read = [(number, read_line(line)) for number, line in part]  # before anybody has to wait
        copied = [(number, one) for number, one in read if isinstance(one, CopiedEntry)]
        with self._database.writing() as line:
            merged = merge_copied(line, self._statements, [one for _, one in copied])
        for number, one in read:
            if isinstance(one, Wrong):
                taken.add_wrong(number, one)
        for at in sorted(merged.unlike):
            taken.add_wrong(copied[at][0], Wrong.OTHER_HERE)
        taken.new, taken.unread = taken.new + merged.new, taken.unread + merged.unread
        taken.here += len(copied) - merged.new - len(merged.unlike)


@contextmanager
def _copy_in(file: Path) -> "Iterator[CopyInHand]":
    from shared_models.copy_file.reading import opened_copy  # a start need not wait for it

    with opened(file) as source, opened_copy(source) as copy:
        yield copy


def _counted(*which: ColumnElement[bool]) -> Any:
    of_entry = and_(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.id == OUTBOX.c.id)
    return select(func.count(), func.min(OUTBOX.c.id)).select_from(OUTBOX.join(ENTRY, of_entry)).where(*which)


def _from_fact(of: type[Any], text: str | None) -> Any:
    """What was noted; fields that a later release noted are passed over."""
    if not text:
        return None
    found = json.loads(text)
    return of(**{one.name: found[one.name] for one in fields(of) if one.name in found})


def _another_group(own: str, other: str) -> str:
    return say(
        "This copy is of another group, “{other}”. The records on this phone belong to “{own}” and are not mixed with "
        "those of another group, so nothing was taken from it. Use a new data folder for the other group.",
        own=own,
        other=other,
    )

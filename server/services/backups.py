"""Backups of a whole server, and what follows from putting one back: every phone supplies again what it lacks."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from server.database import members
from server.database.engine import Database
from server.database.kept_tables import disconnect_again, kept, put_back
from server.database.members import Group
from server.database.recovery import end_recovery
from server.database.replacing import There, aside, in_its_place, there
from server.database.upgrading import NEWEST
from server.services import audit
from server.services.archive import Listed, read_archive, write_archive
from server.services.audit import Deed
from server.services.moments import now_utc
from shared_models.errors import BadInputError
from shared_models.language import say


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back, and where what was there is now; empty where nothing was. `unread` if it could not be read."""

    listed: Listed
    aside: str
    unread: bool


def back_up(database: Database, file: Path, who: str) -> Listed:
    """Write all that cannot be made again into one file, as it is at one moment; the server may go on meanwhile."""
    with database.snapshot() as connection:
        listed = write_archive(file, NEWEST, now_utc(), kept(connection))
    with database.writing() as connection:
        audit.note(connection, Deed.BACKED_UP, None, who, file.name)
    return listed


def restore(url: str, file: Path, who: str, sure: bool = False) -> Restored:
    """Put a backup in the place of the database at an address; what was there is moved aside.

    BadInputError where the backup is not whole, or something is there and the caller is not `sure`; StoreError where a
    newer server made it. Nothing is changed then.
    """
    archive = read_archive(file)
    found = there(url)
    if found.groups != 0 and not sure:
        raise BadInputError(_something_is_there(found), "yes")
    moment = f"{datetime.now(UTC):%Y%m%dT%H%M%S%f}"
    with in_its_place(url, moment) as connection:
        put_back(connection, archive.listed.step, archive.tables())
        disconnect_again(connection, found.revoked)
        for group in members.groups(connection):
            about = say("{file}, made {when}", file=file.name, when=archive.listed.made_at)
            audit.note(connection, Deed.RESTORED, group.id, who, about)
    moved = aside(url, moment) if found.groups != 0 else ""
    return Restored(archive.listed, moved, found.groups is None)


def recovered(database: Database, group: Group, who: str) -> bool:
    """All is back; False where the group was not recovering."""
    with database.writing() as connection:
        was = end_recovery(connection, group.id)
        if was:
            audit.note(connection, Deed.RECOVERED, group.id, who)
    return was


def _something_is_there(found: There) -> str:
    if found.groups is None:
        return say(
            "What is there is no database of a Pomeward server, or a damaged one. Nothing was changed; with --yes it is "
            "moved aside and the backup takes its place."
        )
    return say(
        "There is a database with {count} groups. Nothing was changed; with --yes it is moved aside and the backup "
        "takes its place.",
        count=found.groups,
    )

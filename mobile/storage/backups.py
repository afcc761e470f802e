"""Copies of the phone's file, one a day, the newest three kept; each is looked through before it counts. Knows no records.

A copy is made beside the work that goes on (a reader of one moment), under a name of its own, and takes its place by
being renamed: a copy that was broken off is none. The device's token is in no copy, so whoever puts one back has to
connect the phone again.
"""

import logging
import os
import shutil
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from mobile.storage.beside import BACKUPS, Beside, make_private, remove, sync_folder
from mobile.storage.facts import SECRET
from mobile.storage.failures import is_damage
from mobile.storage.soundness import is_readable, is_whole

LOG = logging.getLogger(__name__)
ROOM = (
    2  # times the size of the file that have to be free: one for the copy, one for what is recorded meanwhile
)
LEFT_OVER = 3600  # [s] a copy still unfinished after that long will never be finished
_WORDS_OF_SECRETS = ", ".join(f"'{fact.value}'" for fact in SECRET)


def is_due(beside: Beside, now: datetime) -> bool:
    """Whether no copy was made on this day; a clock that was set back makes it due, too."""
    newest = beside.backups()[:1]
    return not newest or made_at(newest[0], now).date() != now.date()


def made_at(backup: Path, now: datetime) -> datetime:
    """When a copy was made, in the zone of `now`."""
    return datetime.fromtimestamp(backup.stat().st_mtime, now.tzinfo)


def back_up(beside: Beside, now: datetime) -> bool:
    """Make a copy; False where there is no room for it, or the device or the file does not let it be made.

    What cannot be read is noted, so that the next start looks at the whole file.
    """
    try:
        _remove_left_over(beside, now)
        if not _has_room(beside):
            return False
        _make(beside, now)
    except (OSError, sqlite3.Error) as fault:
        LOG.warning("No copy of %s was made (%s).", beside.file.name, fault)
        if is_damage(fault):
            beside.suspect.touch()
        return False
    return True


def newest_readable(beside: Beside) -> Path | None:
    """The newest copy that SQLite can follow; None where there is none."""
    return next((backup for backup in beside.backups() if _is_readable(backup)), None)


def _is_readable(backup: Path) -> bool:
    with suppress(sqlite3.Error):
        return is_readable(backup)
    return False


def _make(beside: Beside, now: datetime) -> None:
    new = beside.named(f"backup-new-{os.getpid()}")
    try:
        remove(new)
        make_private(new)
        _copy(beside.file, new)
        if not is_whole(new):
            beside.suspect.touch()  # it was written just now, so what is wrong with it is wrong with the file
            raise sqlite3.DatabaseError("the copy does not pass its check")
        os.utime(new, (now.timestamp(), now.timestamp()))
        _take_its_place(beside, new)
    finally:
        remove(new)


def _copy(file: Path, new: Path) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as source:
        source.execute("PRAGMA busy_timeout=5000")
        source.execute("PRAGMA synchronous=FULL")
        source.execute("PRAGMA cell_size_check=ON")
        # Written anew and not page by page: what was deleted, an earlier token among it, is in no page of the copy.
        source.execute("VACUUM INTO ?", (str(new),))
    with closing(sqlite3.connect(new, isolation_level=None)) as copy:
        copy.execute("PRAGMA synchronous=FULL")
        copy.execute("PRAGMA secure_delete=ON")
        copy.execute(f"DELETE FROM phone WHERE name IN ({_WORDS_OF_SECRETS})")
    with new.open("rb+") as written:
        os.fsync(written.fileno())


def _take_its_place(beside: Beside, new: Path) -> None:
    """Each copy becomes one older; the oldest goes when the newest is whole."""
    for age in range(BACKUPS, 1, -1):
        if beside.backup(age - 1).exists():
            os.replace(beside.backup(age - 1), beside.backup(age))
    os.replace(new, beside.backup(1))
    sync_folder(new.parent)


def _has_room(beside: Beside) -> bool:
    size = sum(path.stat().st_size for path in beside.with_journal() if path.exists())
    return shutil.disk_usage(beside.file.parent).free >= ROOM * size


def _remove_left_over(beside: Beside, now: datetime) -> None:
    for path in beside.file.parent.glob(f"{beside.file.name}.backup-new-*"):
        if abs(now.timestamp() - path.stat().st_mtime) > LEFT_OVER:
            path.unlink(missing_ok=True)

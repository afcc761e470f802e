"""What lies beside the phone's file, and what each of it is called. Opens nothing.

All names begin with the file's own, so that the phones of several files in one folder never mix.
"""

import os
from contextlib import suppress
from pathlib import Path

BACKUPS = 3
PRIVATE = 0o600


class Beside:
    """The companions of one file."""

    def __init__(self, file: Path) -> None:
        self.file = file

    @property
    def unsent(self) -> Path:
        """The second place of what is not shared yet."""
        return self.named("unsent")

    @property
    def suspect(self) -> Path:
        """Is there while part of the file could not be read; the next start looks at all of it."""
        return self.named("suspect")

    @property
    def half_rescued(self) -> Path:
        """The new file while it is being filled; worth nothing until it has its next name."""
        return self.named("rescue")

    @property
    def rescued(self) -> Path:
        """The new file, whole, that is about to take the place of a damaged one."""
        return self.named("rescued")

    def backup(self, age: int) -> Path:
        """A copy of the file; 1 is the newest."""
        return self.named(f"backup-{age}")

    def backups(self) -> list[Path]:
        """The copies that are there, newest first."""
        return [path for path in map(self.backup, range(1, BACKUPS + 1)) if path.exists()]

    def with_journal(self) -> list[Path]:
        """The file and what SQLite keeps beside it; the file comes last."""
        return [*companions(self.file), self.file]

    def named(self, name: str) -> Path:
        """A companion by the end of its name."""
        return self.file.with_name(f"{self.file.name}.{name}")


def companions(file: Path) -> list[Path]:
    """What SQLite keeps beside a file."""
    return [file.with_name(file.name + end) for end in ("-shm", "-wal", "-journal")]


def remove(file: Path) -> None:
    """Take away a file that nobody needs, with what SQLite kept beside it."""
    for path in (*companions(file), file):
        path.unlink(missing_ok=True)


def make_private(file: Path) -> None:
    """Make an empty file that only this user can read; SQLite gives its companions the same rights."""
    with suppress(OSError):  # it is there, or the folder is not; whoever opens it then says so
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, PRIVATE))


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the system can."""
    with suppress(OSError):  # Windows opens no folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

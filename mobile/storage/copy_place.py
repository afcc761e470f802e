"""Where a copy lies as a file: a name that is free, written whole or not at all, and opened with care. Knows no zip."""

import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import IO

from shared_models.copy_file.manifest import ENDING
from shared_models.errors import BadInputError, StoreError
from shared_models.language import say

_UNFINISHED = ".unfinished"
_MOST_OF_ONE_MINUTE = 100
_ABANDONED = 3600  # [s]


def free_name(folder: Path, made: datetime) -> Path:
    """A name in a folder that no file has, such as `pomeward 2026-09-12 1000.copy`."""
    stem = f"pomeward {made:%Y-%m-%d %H%M}"
    names = [folder / f"{stem}{ENDING}"]
    names += [folder / f"{stem} {again}{ENDING}" for again in range(2, _MOST_OF_ONE_MINUTE)]
    return next((name for name in names if not name.exists()), names[-1])


@contextmanager
def written_whole(name: Path) -> Iterator[IO[bytes]]:
    """A file to write into; it bears its name once all of it is on the disk, and is gone where that fails.

    StoreError where the folder cannot be written to or has no room.
    """
    unfinished = name.with_name(f".{name.name}{_UNFINISHED}")
    _clear_away(name.parent)
    try:
        with open(os.open(unfinished, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600), "r+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.replace(unfinished, name)
        _settle(name.parent)
    except OSError as error:
        raise StoreError(_not_written(name.parent, error)) from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


@contextmanager
def opened(file: Path) -> Iterator[IO[bytes]]:
    """A file to read; BadInputError where there is none. What is no plain file is never opened: it could wait for ever."""
    try:
        if not stat.S_ISREG(file.stat().st_mode):
            raise BadInputError(say("{file} is no file. Choose a copy.", file=file), "file")
        source = file.open("rb")
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        raise BadInputError(
            say(
                "The file {file} cannot be read. Nothing was taken in; see that it is there and may be read.",
                file=str(file)[:200],
            ),
            "file",
        ) from error
    with source:
        yield source


def _clear_away(folder: Path) -> None:
    """What was left of copies whose making was killed; one that is being written is younger."""
    with suppress(OSError):
        for left in folder.glob(f".pomeward *{ENDING}{_UNFINISHED}"):
            if time.time() - left.stat().st_mtime > _ABANDONED:
                left.unlink()


def _settle(folder: Path) -> None:
    """Let the name be on the disk too, where the system can promise that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _not_written(folder: Path, error: OSError) -> str:
    return say(
        "No copy was made: nothing can be written into {folder} ({reason}). Everything on this phone is kept; "
        "choose another folder, or make room.",
        folder=folder,
        reason=error.strerror or error,
    )

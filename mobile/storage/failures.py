"""What SQLite reports, as sentences for the person: what happened, what was kept, what to do. Knows no tables."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from shared_models.errors import StoreError
from shared_models.language import say


class DamagedError(StoreError):
    """The file, or part of it, cannot be read any more."""


@contextmanager
def told_in_sentences(path: Path) -> Iterator[None]:
    """Turn whatever SQLite reports inside into a StoreError."""
    try:
        yield
    except DBAPIError as error:
        raise _told(error.orig, path) from error
    except sqlite3.Error as error:
        raise _told(error, path) from error


def is_damage(error: BaseException | None) -> bool:
    """Whether SQLite says by this error that a file cannot be read."""
    return _code(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def damaged(path: Path) -> str:
    """What to say of a file that SQLite cannot read or that fails its check."""
    return say(
        "The file {file} is damaged or is no Pomeward file. It was left as it is; what was shared can be "
        "fetched from the server again with a new file.",
        file=path.name,
    )


def _told(error: BaseException | None, path: Path) -> StoreError:
    return DamagedError(damaged(path)) if is_damage(error) else StoreError(_sentence(error, path))


def _code(error: BaseException | None) -> int:
    # The low byte is the primary code; the rest only says where it happened.
    return (getattr(error, "sqlite_errorcode", None) or sqlite3.SQLITE_ERROR) & 0xFF


def _sentence(error: BaseException | None, path: Path) -> str:
    code = _code(error)
    if code == sqlite3.SQLITE_FULL:
        return say(
            "There is no room left on this device, so this was not saved. "
            "Everything before it is kept; make room, then try again."
        )
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return say(
            "Another window of Pomeward is busy with the same data, so this was not saved. "
            "Everything before it is kept; try again in a moment."
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return say(
            "The file {file} cannot be opened for writing, so nothing was saved in it. "
            "What it holds is kept; see that its folder is there and may be written to.",
            file=path.name,
        )
    return say(
        "The device could not save or read this ({reason}). "
        "Everything saved before is kept; try again, and restart the app if it happens again.",
        reason=error,
    )

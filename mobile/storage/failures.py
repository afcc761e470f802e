"""What SQLite reports, as sentences for the person: what happened, what was kept, what to do. Knows no tables."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from errno import EDQUOT, ENOSPC
from pathlib import Path

from pydantic import ValidationError
from sqlalchemy.exc import DBAPIError

from shared_models.errors import StoreError
from shared_models.language import say


class DamagedError(StoreError):
    """The file, or part of it, cannot be read any more."""


@contextmanager
def told_in_sentences(path: Path) -> Iterator[None]:
    """Turn whatever SQLite or the device reports inside into a StoreError."""
    try:
        yield
    except DBAPIError as error:
        raise _told(error.orig, path) from error
    except sqlite3.Error as error:
        raise _told(error, path) from error
    except OSError as error:
        raise _refused(error, path) from error
    except ValidationError as error:  # what a person gives is checked before; this was stored
        raise DamagedError(damaged(path)) from error


def is_damage(error: BaseException | None) -> bool:
    """Whether SQLite says by this error that a file cannot be read, or a stored text is none any more."""
    if isinstance(error, sqlite3.OperationalError) and "Could not decode" in str(error):
        return True
    return _code(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def not_ours(path: Path) -> str:
    """What to say of a file that is none of ours, or so damaged that nothing tells that it is."""
    return say(
        "The file {file} is damaged or is no Pomeward file. It was left as it is; what was shared can be "
        "fetched from the server again with a new file.",
        file=path.name,
    )


def damaged(path: Path) -> str:
    """What to say of a file of ours that cannot be read to its end any more."""
    return say(
        "Part of the file {file} cannot be read any more, so this was not done. Nothing in it was changed. Close "
        "the app and open it again: what can be read is then put into a new file, with what its copies hold.",
        file=path.name,
    )


def _told(error: BaseException | None, path: Path) -> StoreError:
    return (
        DamagedError(damaged(path)) if is_damage(error) else StoreError(_sentence(_code(error), error, path))
    )


def _refused(error: OSError, path: Path) -> StoreError:
    code = sqlite3.SQLITE_FULL if error.errno in (ENOSPC, EDQUOT) else sqlite3.SQLITE_IOERR
    return StoreError(_sentence(code, error, path))


def _code(error: BaseException | None) -> int:
    code: int = getattr(error, "sqlite_errorcode", None) or sqlite3.SQLITE_ERROR
    if code == sqlite3.SQLITE_IOERR_SHMSIZE:  # no room for the index of the journal
        return sqlite3.SQLITE_FULL
    return code & 0xFF  # the primary code; the rest only says where it happened


def _sentence(code: int, error: BaseException | None, path: Path) -> str:
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

"""The second place of what is not shared yet: a text file of checked lines beside the database. Knows no tables.

"What waits to be shared exists once, on this phone." The database is durable by itself; this file is for the day on
which it cannot be read. Each line holds its length, its CRC-32 and an entry's canonical text. Lines are added after
the commit and without waiting for the disk, so they cost a touch next to nothing and a power cut may take the last of
them. Nothing here ever makes a touch fail: what the device refuses to write is missing until the file is made anew.
"""

import json
import logging
import os
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict
from pathlib import Path
from zlib import crc32

from mobile.storage.beside import PRIVATE
from mobile.storage.facts import Identity

LOG = logging.getLogger(__name__)
_HEAD = 18  # "llllllll cccccccc " before the text
_OWNER = "phone"
_ADD = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)


class Unsent:
    """The file. Any thread may call; no method raises where the device fails."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._lock = threading.Lock()
        self._handle: int | None = None

    def add(self, bodies: Iterable[str]) -> None:
        """Add entries that were committed just now."""
        lines = b"".join(map(_line, bodies))
        with self._lock, _told_in_the_log():
            os.write(self._open(), lines)

    def name_owner(self, identity: Identity) -> None:
        """Write down whose phone this is, so that a phone that lost its database is still the same phone."""
        self.add([_owner_line(identity)])

    def make_anew(self, identity: Identity, waiting: Callable[[], Iterable[str]]) -> None:
        """Let the file hold what waits and nothing else. What is added meanwhile is taken over."""
        with _told_in_the_log():
            since = self.size  # whatever is above was committed before, so `waiting` knows it
            new = self._file.with_name(self._file.name + "-new")
            with open(os.open(new, _ADD | os.O_TRUNC, PRIVATE), "wb") as lines:
                lines.write(_line(_owner_line(identity)))
                for body in waiting():
                    lines.write(_line(body))
                with self._lock:
                    lines.write(self._from(since))
                    lines.close()
                    self._close()
                    os.replace(new, self._file)

    @property
    def size(self) -> int:
        """Of the file [bytes]; 0 where there is none."""
        with suppress(OSError):
            return self._file.stat().st_size
        return 0

    def owner(self) -> Identity | None:
        """Whose phone this is, by the last line that says so; None where none does."""
        found = None
        for text in self._texts():
            found = _owner(text) or found
        return found

    def bodies(self) -> Iterator[str]:
        """The entries, oldest first; lines that are torn or damaged are left out."""
        return (text for text in self._texts() if not _is_owner(text))

    def newest(self, most_bytes: int = 65_536) -> list[str]:
        """The entries at the end of the file."""
        lines = self._from(max(0, self.size - most_bytes)).split(b"\n")
        texts = [text for text in map(_text, lines) if text is not None]
        return [text for text in texts if not _is_owner(text)]

    def close(self) -> None:
        """Let go of the file; adding opens it again."""
        with self._lock:
            self._close()

    def _texts(self) -> Iterator[str]:
        with suppress(OSError), self._file.open("rb") as lines:
            for line in lines:
                if (text := _text(line)) is not None:
                    yield text

    def _from(self, place: int) -> bytes:
        with suppress(OSError), self._file.open("rb") as lines:
            lines.seek(place)
            return lines.read()
        return b""

    def _open(self) -> int:
        """The file as it stands in the folder; another window may have made it anew."""
        if self._handle is not None and not os.fstat(self._handle).st_nlink:
            self._close()
        if self._handle is None:
            self._handle = os.open(self._file, _ADD, PRIVATE)
        return self._handle

    def _close(self) -> None:
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None


def _line(text: str) -> bytes:
    body = text.encode()
    # The break comes first: a line that was torn off does not spoil the next one.
    return b"\n%08x %08x %b" % (len(body), crc32(body), body)


def _text(line: bytes) -> str | None:
    body = line[_HEAD:].rstrip(b"\n")
    if line[:_HEAD] != b"%08x %08x " % (len(body), crc32(body)):
        return None
    with suppress(UnicodeDecodeError):
        return body.decode()
    return None


def _owner_line(identity: Identity) -> str:
    return json.dumps({_OWNER: asdict(identity)})


def _is_owner(text: str) -> bool:
    return text.startswith(f'{{"{_OWNER}":')


def _owner(text: str) -> Identity | None:
    if not _is_owner(text):
        return None
    with suppress(ValueError, TypeError, KeyError):
        return Identity(**json.loads(text)[_OWNER])
    return None


@contextmanager
def _told_in_the_log() -> Iterator[None]:
    """The person is not bothered: nothing of theirs is lost by it."""
    try:
        yield
    except OSError as fault:
        LOG.warning("The list of what is not shared could not be written (%s).", fault)

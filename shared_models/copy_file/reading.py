"""Reads a copy with suspicion: it may come from anywhere, be cut off, changed, or made to fill a memory.

Nothing is unpacked to disk, and nothing is believed before it was looked at: which members there are and how long they
say they are, then how long they are, then whether they are what the manifest says. BadInputError tells what is wrong.
"""

import hashlib
import io
import json
import stat
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from pydantic import ValidationError

from shared_models.copy_file.manifest import (
    ENTRIES,
    FORMAT,
    MANIFEST,
    MAX_BYTES,
    MAX_ENTRIES,
    MAX_LINE,
    MAX_MANIFEST,
    VERSION,
    Manifest,
)
from shared_models.errors import BadInputError
from shared_models.language import say

_END, _FAR_END = b"PK\x05\x06", b"PK\x06\x07"  # how the list of members ends; of one too long for us
_END_SIZE, _FAR_SIZE, _LONGEST_NOTE = 22, 20, 0xFFFF  # [bytes]
_LONGEST_LIST = 4096  # [bytes] ours is a twentieth of it
_ENCRYPTED = 1
# What a damaged or made-up archive can raise while it is read, in this library or below it.
_DAMAGED = (
    BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    RuntimeError,
    struct.error,
    LookupError,
    OSError,  # such as a place before the beginning, or a stick that was drawn
    ValueError,
)


class CopyInHand:
    """A copy that was opened: its manifest, and its lines as often as they are asked for."""

    def __init__(self, archive: ZipFile) -> None:
        self._archive = archive
        _refuse_members(archive.infolist())
        self.manifest = _manifest(archive)

    def lines(self) -> Iterator[bytes]:
        """Every line without its end; BadInputError at the latest after the last one if they are not what was written."""
        told = self.manifest.members[ENTRIES]
        digest, length, count = hashlib.sha256(), 0, 0
        with _read_with_care(), self._archive.open(ENTRIES) as member:
            lines = io.BufferedReader(member, 1 << 16)  # type: ignore[type-var]
            while line := lines.readline(MAX_LINE + 2):
                count, length = count + 1, length + len(line)
                if len(line) > MAX_LINE + 1 or length > MAX_BYTES or count > MAX_ENTRIES:
                    raise _too_large()
                if not line.endswith(b"\n"):
                    raise _damaged()
                digest.update(line)
                yield line[:-1]
        if (length, digest.hexdigest(), count) != (told.bytes, told.sha256, self.manifest.entries):
            raise _damaged()


@contextmanager
def opened_copy(source: IO[bytes]) -> Iterator[CopyInHand]:
    """Open a copy in a file that can be read at any place."""
    with _read_with_care():
        _refuse_a_long_list(source)
        archive = ZipFile(source)
    with archive:
        yield CopyInHand(archive)


@contextmanager
def _read_with_care() -> Iterator[None]:
    try:
        yield
    except _DAMAGED as error:
        raise _damaged() from error


def _refuse_a_long_list(source: IO[bytes]) -> None:
    """Opening an archive reads its list of members whole; a list that was made to be endless is not read at all."""
    size = source.seek(0, io.SEEK_END)
    source.seek(max(0, size - _END_SIZE - _LONGEST_NOTE))
    tail = source.read()
    at = tail.rfind(_END)
    if at < 0 or len(tail) - at < _END_SIZE:
        raise _damaged()
    (length,) = struct.unpack_from("<I", tail, at + 12)
    if length > _LONGEST_LIST or tail[max(0, at - _FAR_SIZE) : at].startswith(_FAR_END):
        raise _no_copy()
    source.seek(0)


def _refuse_members(members: list[ZipInfo]) -> None:
    """Two members by exactly these names, plain files, short enough; so no name can lead anywhere."""
    if sorted(one.filename for one in members) != sorted((ENTRIES, MANIFEST)):
        raise _no_copy()
    for one in members:
        if stat.S_ISLNK(one.external_attr >> 16) or one.is_dir() or one.flag_bits & _ENCRYPTED:
            raise _no_copy()
        if one.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            raise _no_copy()
        if one.file_size > (MAX_MANIFEST if one.filename == MANIFEST else MAX_BYTES):
            raise _too_large()


def _manifest(archive: ZipFile) -> Manifest:
    with _read_with_care(), archive.open(MANIFEST) as member:
        text = member.read(MAX_MANIFEST + 1)
        if len(text) > MAX_MANIFEST:
            raise _too_large()
        found = json.loads(text)
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise _no_copy()
    version = found.get("version")
    if isinstance(version, int) and version > VERSION:
        raise BadInputError(
            say(
                "This copy was written by a newer Pomeward. Nothing was taken from it; update the app, then "
                "take it in."
            )
        )
    try:
        manifest = Manifest.model_validate(found)
    except ValidationError as error:
        raise _damaged() from error
    if set(manifest.members) != {ENTRIES}:
        raise _damaged()
    return manifest


def _damaged() -> BadInputError:
    return BadInputError(
        say(
            "This copy is damaged or was cut off. Nothing was taken from it and everything here stays as it was; "
            "fetch the file once more, or make a new copy where it came from."
        )
    )


def _no_copy() -> BadInputError:
    return BadInputError(
        say(
            "This file is no copy of records that this app can take in. Nothing was taken from it; choose a file "
            "that was made with “Make a copy”."
        )
    )


def _too_large() -> BadInputError:
    return BadInputError(
        say(
            "This file holds more than a copy of records can hold. Nothing was taken from it; choose a file that "
            "was made with “Make a copy”."
        )
    )

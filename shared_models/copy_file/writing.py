"""Writes a copy to a file that is given, entry by entry, so that it takes no more memory for many than for few."""

import hashlib
from collections.abc import Iterable
from datetime import datetime
from typing import IO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from shared_models.copy_file.manifest import (
    ENTRIES,
    FORMAT,
    MANIFEST,
    MAX_BYTES,
    MAX_ENTRIES,
    VERSION,
    About,
    Manifest,
    Member,
)
from shared_models.errors import TooLargeError
from shared_models.language import say


def write_copy(target: IO[bytes], bodies: Iterable[str], about: About) -> Manifest:
    """Write canonical texts, oldest first, and what the copy says of itself.

    TooLargeError where no app would read it; whatever was written until then is of no use.
    """
    with ZipFile(target, "w", ZIP_DEFLATED) as archive:
        entries, member = _write_entries(archive, bodies, about)
        manifest = Manifest(
            **about.model_dump(), format=FORMAT, version=VERSION, entries=entries, members={ENTRIES: member}
        )
        archive.writestr(_info(MANIFEST, about), manifest.model_dump_json(indent=1))
    return manifest


def _write_entries(archive: ZipFile, bodies: Iterable[str], about: About) -> tuple[int, Member]:
    digest, length, count = hashlib.sha256(), 0, 0
    with archive.open(_info(ENTRIES, about), "w") as out:
        for body in bodies:
            line = f"{body}\n".encode()
            count, length = count + 1, length + len(line)
            if length > MAX_BYTES or count > MAX_ENTRIES:
                raise _too_large()
            digest.update(line)
            out.write(line)
    return count, Member(bytes=length, sha256=digest.hexdigest())


def _info(name: str, about: About) -> ZipInfo:
    made = datetime.fromisoformat(about.made)
    info = ZipInfo(name, (made.year, made.month, made.day, made.hour, made.minute, made.second))
    info.compress_type, info.external_attr = ZIP_DEFLATED, 0o600 << 16
    return info


def _too_large() -> TooLargeError:
    return TooLargeError(
        say(
            "There are more records here than fit into a copy, so none was made. "
            "Everything is kept; share with a group to have it in a second place."
        )
    )

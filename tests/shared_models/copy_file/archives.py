"""Copies as files in memory: good ones, and ones that were changed, cut off or made up."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterable
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from shared_models.copy_file.manifest import ENTRIES, FORMAT, MANIFEST, About
from shared_models.copy_file.writing import write_copy

ABOUT = About(made="2026-09-12T10:00:00+02:00", of="Ida (invented)")


def good_copy(bodies: Iterable[str], about: About = ABOUT) -> bytes:
    """A copy as the app writes it."""
    file = io.BytesIO()
    write_copy(file, bodies, about)
    return file.getvalue()


def manifest_of(lines: bytes, **changed: Any) -> dict[str, Any]:
    """What a copy of these lines would say of itself, with changes."""
    member = {"bytes": len(lines), "sha256": hashlib.sha256(lines).hexdigest()}
    told = {"format": FORMAT, "version": 1, "entries": lines.count(b"\n"), "members": {ENTRIES: member}}
    return {**ABOUT.model_dump(), **told, **changed}


def archive(members: Iterable[tuple[str | ZipInfo, bytes]]) -> bytes:
    """An archive of these members, in their order."""
    file = io.BytesIO()
    with ZipFile(file, "w", ZIP_DEFLATED) as made:
        for name, content in members:
            made.writestr(name, content)
    return file.getvalue()


def made_up(lines: bytes, **changed: Any) -> bytes:
    """An archive with these lines and a manifest that fits them but for the changes."""
    return archive([(ENTRIES, lines), (MANIFEST, json.dumps(manifest_of(lines, **changed)).encode())])

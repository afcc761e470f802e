"""A backup in one file: a zip with a list of what is in it, and for each table one row a line (JSON).

Either database can be put back from it. Each table's SHA-256 stands in the list, and nothing is written before all of
them were compared. A new file is whole or not there; one that is there is never written over.
"""

import base64
import hashlib
import json
import os
import re
import secrets
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict

from server.database.kept_tables import KEPT, KeptTable
from shared_models.errors import BadInputError
from shared_models.language import say

_LIST = "list.json"
_NAME = re.compile(r"[a-z][a-z_]{0,40}")
_BYTES = "base64"
_UNREADABLE = (
    OSError,
    zipfile.BadZipFile,
    zlib.error,
    KeyError,
    ValueError,
    TypeError,
    EOFError,
    RuntimeError,
)


class _Listed(BaseModel):
    """One table in the list."""

    model_config = ConfigDict(frozen=True)

    name: str
    columns: tuple[str, ...]
    rows: int
    sha256: str


class Listed(BaseModel):
    """The list: at which step of its tables, and when, the server was."""

    model_config = ConfigDict(frozen=True)

    format: int = 1
    step: str
    made_at: str
    tables: tuple[_Listed, ...]

    def count(self, table: str) -> int:
        """How many rows of a table there are."""
        return sum(one.rows for one in self.tables if one.name == table)


@dataclass(frozen=True, slots=True)
class Archive:
    """A backup that was looked through."""

    file: Path
    listed: Listed

    def tables(self) -> Iterator[KeptTable]:
        """What it holds, in its order."""
        with zipfile.ZipFile(self.file) as packed:
            for one in self.listed.tables:
                yield KeptTable(one.name, one.columns, _rows(packed, one))


def write_archive(file: Path, step: str, made_at: str, tables: Iterable[KeptTable]) -> Listed:
    """Write a backup; BadInputError where there is a file of that name, or none can be made."""
    draft = file.with_name(f"{file.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as opened:
            with zipfile.ZipFile(opened, "w", zipfile.ZIP_DEFLATED) as packed:
                written = tuple(_write(packed, table) for table in tables)
                listed = Listed(step=step, made_at=made_at, tables=written)
                packed.writestr(_LIST, listed.model_dump_json(indent=1))
            opened.flush()
            os.fsync(opened.fileno())
        _name(draft, file)
    except OSError as error:
        raise _not_written(file, error) from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)
    return listed


def read_archive(file: Path) -> Archive:
    """Look a backup through, to the last row; BadInputError where it is none, or damaged."""
    try:
        with zipfile.ZipFile(file) as packed:
            listed = Listed.model_validate_json(packed.read(_LIST))
            _check_names(listed)
            for one in listed.tables:
                _compare(packed, one)
    except _UNREADABLE as error:
        raise _not_whole(file) from error
    return Archive(file, listed)


def _name(draft: Path, file: Path) -> None:
    try:
        os.link(draft, file)
    except FileExistsError:
        raise
    except OSError:  # a memory stick knows no second names
        if file.exists():
            raise FileExistsError from None
        os.rename(draft, file)


def _write(packed: zipfile.ZipFile, table: KeptTable) -> _Listed:
    sums, count = hashlib.sha256(), 0
    with packed.open(f"{table.name}.ndjson", "w", force_zip64=True) as member:
        for row in table.rows:
            line = (
                json.dumps([_plain(row[name]) for name in table.columns], ensure_ascii=False).encode() + b"\n"
            )
            member.write(line)
            sums.update(line)
            count += 1
    return _Listed(name=table.name, columns=table.columns, rows=count, sha256=sums.hexdigest())


def _rows(packed: zipfile.ZipFile, one: _Listed) -> Iterator[dict[str, Any]]:
    with packed.open(f"{one.name}.ndjson") as member:
        for line in member:
            yield dict(zip(one.columns, map(_meant, json.loads(line)), strict=True))


def _compare(packed: zipfile.ZipFile, one: _Listed) -> None:
    sums, count = hashlib.sha256(), 0
    with packed.open(f"{one.name}.ndjson") as member:
        for line in member:
            sums.update(line)
            count += 1
            if len(json.loads(line)) != len(one.columns):
                raise ValueError("A row is not whole.")
    if (sums.hexdigest(), count) != (one.sha256, one.rows):
        raise ValueError("A table is not what the list says.")


def _check_names(listed: Listed) -> None:
    known = {table.name for table in KEPT}
    names: Sequence[str] = [one.name for one in listed.tables]
    columns = [column for one in listed.tables for column in one.columns]
    if listed.format != 1 or not set(names) <= known or not all(map(_NAME.fullmatch, columns)):
        raise ValueError("This is no list of ours.")


def _plain(value: Any) -> Any:
    if isinstance(value, bytes | memoryview):
        return {_BYTES: base64.b64encode(value).decode()}
    return value


def _meant(value: Any) -> Any:
    return base64.b64decode(value[_BYTES]) if isinstance(value, dict) else value


def _not_written(file: Path, error: OSError) -> BadInputError:
    if isinstance(error, FileExistsError):
        sentence = say(
            "There is a file {file} already; it was left as it is. Choose another name.", file=file
        )
    else:
        sentence = say("{file} could not be written; no backup was made. Choose another place.", file=file)
    return BadInputError(sentence, "file")


def _not_whole(file: Path) -> BadInputError:
    return BadInputError(
        say(
            "{file} is no whole backup of a Pomeward server. Nothing was changed; try another one.", file=file
        ),
        "file",
    )

"""What a copy says of itself, and the limits within which one is read. No token and no place is ever in it."""

import re
from datetime import datetime
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from shared_models.when import is_instant

FORMAT = "pomeward copy"
VERSION = 1  # 2026-11. A greater number was written by a newer app.
ENDING = ".copy"
ENTRIES, MANIFEST = "entries.ndjson", "manifest.json"

MAX_BYTES = 1 << 30  # of all entries, unpacked
MAX_ENTRIES = 2_000_000
MAX_LINE = 512 * 1024  # [bytes] a longer entry could never be shared
MAX_MANIFEST = 64 * 1024  # [bytes]

_SHA256 = re.compile(r"[0-9a-f]{64}")


def _checked_instant(text: str) -> str:
    if not is_instant(text) or datetime.fromisoformat(text).tzinfo is None:
        raise ValueError("“made” is the time at which the copy was made, with its offset.")
    return text


class Member(BaseModel):
    """One member of the archive: its length [bytes] and the SHA-256 of it (64 hexadecimal digits)."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    bytes: Annotated[int, Field(ge=0)]
    sha256: Annotated[str, Field(pattern=f"^{_SHA256.pattern}$")]


class About(BaseModel):
    """Whose records: `of` is a name for people to read, `group` the group's id (None from a phone that was alone)."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    made: Annotated[str, Field(max_length=40), AfterValidator(_checked_instant)]
    of: Annotated[str, Field(max_length=200)]
    group: Annotated[str, Field(max_length=100)] | None = None


class Manifest(About):
    """All that `manifest.json` holds. Fields may be added; a reader ignores those it does not know."""

    format: str
    version: Annotated[int, Field(ge=1)]
    entries: Annotated[int, Field(ge=0)]
    members: dict[str, Member]

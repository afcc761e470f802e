"""Files that are this user's alone and are never written over: keys, and what belongs to them."""

import os
import secrets
from contextlib import suppress
from pathlib import Path


def put_once(file: Path, content: bytes) -> None:
    """Write a file whole or not at all, unless it is there; of two that write at once, both find one whole file.

    Written aside for this user's eyes only, then linked into place.
    """
    file.parent.mkdir(parents=True, exist_ok=True)
    draft = file.with_name(f"{file.name}.{secrets.token_hex(4)}")
    with os.fdopen(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as opened:
        opened.write(content)
        opened.flush()
        os.fsync(opened.fileno())
    with suppress(FileExistsError):
        os.link(draft, file)
    draft.unlink()

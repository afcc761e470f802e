"""Identifiers made offline: time-ordered UUIDs (RFC 9562). Knows nothing of what they name.

An identifier names a thing; it is never a secret and never a date of what happened.
"""

import hashlib
import re
import secrets
import time

_FORM = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[78][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")


def new_id(wall_ms: int | None = None) -> str:
    """A fresh UUID version 7: 48 bits of clock, 74 bits of chance; keys of tables stay nearly in time order."""
    clock = time.time_ns() // 1_000_000 if wall_ms is None else wall_ms
    return _assemble(clock, version=7, chance=secrets.randbits(74))


def derived_id(clock_ms: int, *parts: str) -> str:
    """A UUID version 8 that depends on its parts alone, so that importing one table twice makes the same records."""
    text = "\x1f".join(parts).encode()
    return _assemble(
        clock_ms, version=8, chance=int.from_bytes(hashlib.sha256(text).digest()[:10], "big") >> 6
    )


def is_identifier(text: object) -> bool:
    """Whether this is the text of a version 7 or 8 UUID in lower case."""
    return isinstance(text, str) and _FORM.fullmatch(text) is not None


def is_derived(identifier: str) -> bool:
    """Whether an identifier was derived from its parts (version 8), so that others may come to the same one."""
    return identifier[14] == "8"


def made_ms(identifier: str) -> int:
    """The clock of the phone when it made an identifier [ms since 1970 UTC]; orders entries, and is shown to nobody.

    >>> made_ms(new_id(1_790_000_000_000))
    1790000000000
    """
    return int(identifier[:8] + identifier[9:13], 16)


def _assemble(clock_ms: int, version: int, chance: int) -> str:
    middle, low = chance >> 62, chance & ((1 << 62) - 1)
    whole = (clock_ms & ((1 << 48) - 1)) << 80 | version << 76 | middle << 64 | 0b10 << 62 | low
    digits = f"{whole:032x}"
    return f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"

"""The digest of a set of entries: tells whether two sides hold the same, entry by entry, whatever the order.

The sum of the entries' SHA-256, modulo 2**128, as 32 hexadecimal digits. The hash is that of the canonical text, so
the stamp is in it. Adding and taking away cost nothing more than the entries themselves. It finds faults of disks and
of programs; against somebody who wants to deceive it is no protection.

>>> both = added(NOTHING, ["0f" * 32, "a0" * 32])
>>> both == added(added(NOTHING, ["a0" * 32]), ["0f" * 32])
True
>>> taken_away(both, ["0f" * 32, "a0" * 32]) == NOTHING
True
"""

from collections.abc import Iterable

NOTHING = "0" * 32
_MODULUS = 1 << 128
_DIGITS = 32


def added(digest: str, hashes: Iterable[str]) -> str:
    """The digest of what it stands for and of the entries with these hashes (64 hexadecimal digits each)."""
    return _written(int(digest, 16) + _sum(hashes))


def taken_away(digest: str, hashes: Iterable[str]) -> str:
    """The digest without the entries with these hashes."""
    return _written(int(digest, 16) - _sum(hashes))


def _sum(hashes: Iterable[str]) -> int:
    return sum([int(one[-_DIGITS:], 16) for one in hashes])


def _written(number: int) -> str:
    return f"{number % _MODULUS:032x}"

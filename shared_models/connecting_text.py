"""The one text that a phone is connected with: address, one-time code, and the key that the server must have.

A server at home has no certificate that a phone could look up, so what the phone is to look for travels with the code:
the SHA-256 of the server's public key, in the same letters as the code. It is one word without a space, for pasting,
for a two-dimensional barcode, and, with patience, for typing: case, hyphens and line breaks do not matter.
"""

import hashlib
import re
from dataclasses import dataclass

from shared_models.errors import BadInputError
from shared_models.language import say

CODE_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's: none of I L O U
CODE_LENGTH = 13
PIN_LENGTH = 52  # 256 bits, five to a letter
BEGINS = "pomeward:"
_LOOKS_LIKE = str.maketrans({"I": "1", "L": "1", "O": "0", "-": None, " ": None})
_PLACE = re.compile(r"[^\s/@?#\\]+(/[^\s@?#\\]*)?")


@dataclass(frozen=True, slots=True)
class ConnectingText:
    """Where a server with a key of its own is, the code, and the pin: what `pin_of` says of its key."""

    address: str
    code: str
    pin: str

    def text(self) -> str:
        """The one text.

        >>> ConnectingText("https://192.0.2.7:8745", "7KQF-93XZ-ABCDE", "0" * 52).text()[:43]
        'pomeward:7KQF-93XZ-ABCDE/0000-0000-0000-000'
        """
        pin = "-".join(self.pin[at : at + 4] for at in range(0, PIN_LENGTH, 4))
        return f"{BEGINS}{self.code}/{pin}/{self.address.removeprefix('https://')}"


def is_connecting_text(typed: str) -> bool:
    """Whether this is meant as the one text rather than as an address or a code."""
    return _closed_up(typed).lower().startswith(BEGINS)


def read_connecting_text(typed: str) -> ConnectingText:
    """What a text says; BadInputError where something is missing, as after half a paste."""
    code, _, rest = _closed_up(typed)[len(BEGINS) :].partition("/")
    pin, _, place = rest.partition("/")
    read = ConnectingText(f"https://{place.rstrip('/')}", plain_letters(code), plain_letters(pin))
    whole = _are_letters(read.code, CODE_LENGTH) and _are_letters(read.pin, PIN_LENGTH)
    if not (is_connecting_text(typed) and whole and _PLACE.fullmatch(place)):
        raise BadInputError(
            say(
                "This connecting text is not whole; nothing was changed. Copy all of it, from “{begins}” to the end.",
                begins=BEGINS,
            ),
            "code",
        )
    return read


def plain_letters(typed: str) -> str:
    """Letters as they were meant: capitals, without hyphens and spaces, and none that looks like another.

    >>> plain_letters("7kqf-o3xl")
    '7KQF03X1'
    """
    return typed.upper().translate(_LOOKS_LIKE)


def pin_of(public_key: bytes) -> str:
    """What a server's key is told by: the SHA-256 of its SubjectPublicKeyInfo (DER), as letters."""
    number = int.from_bytes(hashlib.sha256(public_key).digest(), "big")
    return "".join(CODE_LETTERS[number >> 5 * at & 31] for at in reversed(range(PIN_LENGTH)))


def _are_letters(text: str, length: int) -> bool:
    return len(text) == length and set(text) <= set(CODE_LETTERS)


def _closed_up(typed: str) -> str:
    """Messages break long words; no part of the text holds a space."""
    return "".join(typed.split())

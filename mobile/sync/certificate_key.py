"""The public key of a certificate as it came over the wire (X.509, DER). Reads just enough of it; judges nothing.

A phone's libraries can check a certificate but not show its key, and the one that can is compiled for each processor.
What is needed is one part of a fixed layout: in the certificate's first part, what comes after version, number,
algorithm, issuer, validity and subject.
"""

_SEQUENCE, _VERSION = 0x30, 0xA0
_BEFORE_THE_KEY = 5  # number, algorithm, issuer, validity, subject


def public_key(certificate: bytes) -> bytes:
    """Its SubjectPublicKeyInfo, whole; ValueError where the bytes are laid out otherwise."""
    signed = _inside(_inside(certificate, 0), 0)
    at = _end(signed, 0) if signed[:1] == bytes([_VERSION]) else 0
    for _ in range(_BEFORE_THE_KEY):
        at = _end(signed, at)
    if signed[at : at + 1] != bytes([_SEQUENCE]):
        raise ValueError("There is no public key at its place.")
    return signed[at : _end(signed, at)]


def _inside(data: bytes, at: int) -> bytes:
    """What the sequence at a place holds."""
    if data[at : at + 1] != bytes([_SEQUENCE]):
        raise ValueError("This is no sequence.")
    start, length = _span(data, at)
    return data[start : start + length]


def _end(data: bytes, at: int) -> int:
    start, length = _span(data, at)
    return start + length


def _span(data: bytes, at: int) -> tuple[int, int]:
    """Where the content of the element at a place begins, and how long it is."""
    head = data[at : at + 2]
    if len(head) < 2:
        raise ValueError("This breaks off.")
    start, length = at + 2, head[1]
    if length >= 0x80:
        more = length - 0x80
        start, length = start + more, int.from_bytes(data[at + 2 : at + 2 + more], "big")
    if start + length > len(data):
        raise ValueError("This breaks off.")
    return start, length

"""The address of a group's server: what may be one. Knows no requests."""

import ipaddress
from urllib.parse import urlsplit, urlunsplit

from shared_models.errors import BadInputError
from shared_models.language import say


def checked_address(typed: str) -> str:
    """The address without a trailing stroke; BadInputError where it cannot be one or would travel in the clear.

    >>> checked_address("https://orchard.example/pomeward/")
    'https://orchard.example/pomeward'
    """
    parts = _parts(typed.strip())
    if parts is None:
        raise BadInputError(
            say(
                "“{typed}” is no address of a server; it looks like https://orchard.example.",
                typed=typed[:80],
            ),
            "url",
        )
    scheme, netloc, path = parts
    if scheme == "http" and not is_loopback(typed):
        raise BadInputError(
            say(
                "“{typed}” is not encrypted, so records and the code could be read on the way. "
                "Use the address that begins with https.",
                typed=typed[:80],
            ),
            "url",
        )
    return urlunsplit((scheme, netloc, path.rstrip("/"), "", ""))


def is_loopback(address: str) -> bool:
    """Whether the address is this very device."""
    host = urlsplit(address.strip()).hostname or ""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _parts(text: str) -> tuple[str, str, str] | None:
    try:
        found = urlsplit(text)
        usable = found.scheme in ("http", "https") and found.hostname and found.port != 0
    except ValueError:  # a port or an IPv6 address that is none
        return None
    if not usable or found.username or found.password or found.query or found.fragment:
        return None
    return found.scheme, found.netloc, found.path

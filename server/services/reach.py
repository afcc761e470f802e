"""How phones and browsers reach this server: the address, and the pin where the server has a certificate of its own.

`serve` notes it in the data folder, so that `connect`, run beside it, says what is so.
"""

import json
import os
import secrets
import socket
from contextlib import suppress
from dataclasses import asdict, dataclass

from server.services.own_certificate import own_certificate
from server.settings import Settings
from shared_models.connecting_text import ConnectingText

_ANYWHERE = ("0.0.0.0", "::")
_OUTSIDE = ("192.0.2.1", 9)  # an address for documentation (RFC 5737); nothing is sent to it


@dataclass(frozen=True, slots=True)
class Reach:
    """Where the server is for others; `pin` is empty where its certificate can be checked as usual, or it has none."""

    address: str
    pin: str = ""

    def with_code(self, code: str) -> str:
        """What a phone is given: the code, or the one text where the phone has to know the server by its key."""
        return ConnectingText(self.address, code, self.pin).text() if self.pin else code


def reach_of(settings: Settings, port: int) -> Reach:
    """How a server with these settings is reached on that port; makes its own certificate where it is to have one."""
    address = settings.address.rstrip("/") or f"{settings.scheme}://{_in_address(_host(settings))}:{port}"
    if not settings.own_certificate:
        return Reach(address)
    return Reach(address, own_certificate(settings.data, names_of(settings)).pin)


def noted_reach(settings: Settings) -> Reach:
    """As the server was last started here; as it would be started where it never was."""
    try:
        noted = json.loads(settings.reach_note.read_text(encoding="utf-8"))
        return Reach(str(noted["address"]), str(noted["pin"]))
    except (OSError, ValueError, KeyError, TypeError):
        return reach_of(settings, settings.port)


def note_reach(settings: Settings, reach: Reach) -> None:
    """Note it for commands run beside the server."""
    draft = settings.reach_note.with_name(f"{settings.reach_note.name}.{secrets.token_hex(4)}")
    settings.data.mkdir(parents=True, exist_ok=True)
    draft.write_text(json.dumps(asdict(reach)), encoding="utf-8")
    os.replace(draft, settings.reach_note)


def names_of(settings: Settings) -> list[str]:
    """What a certificate of this server's own is to be good for."""
    there = [_host(settings), socket.gethostname()]
    return [name for name in (_host_of(settings.address), *there) if name]


def _host(settings: Settings) -> str:
    """The host that others use; listening everywhere, it is the address of the way out of this machine."""
    if settings.host not in _ANYWHERE:
        return settings.host
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asks:
        asks.connect(_OUTSIDE)
        return str(asks.getsockname()[0])
    return socket.gethostname()


def _host_of(address: str) -> str:
    place = address.partition("://")[2].partition("/")[0]
    return place.rpartition(":")[0].strip("[]") if ":" in place else place


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host

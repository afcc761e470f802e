"""The look at the key inside another encrypted connection, as through a proxy, where no socket of its own is there."""

from __future__ import annotations

import ssl
from pathlib import Path

import pytest

from mobile.sync.pinned import WrongKeyError, pinned_context
from shared_models.connecting_text import pin_of

pytestmark = pytest.mark.needs_server


def shake_hands(client: ssl.SSLContext, server: ssl.SSLContext) -> None:
    """Both sides in memory, each given what the other one says until the client is content."""
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    here = client.wrap_bio(to_client, to_server, server_hostname="home.example")
    there = server.wrap_bio(to_server, to_client, server_side=True)
    for _ in range(10):
        for side in (here, there):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
            if side is here:
                return
    raise AssertionError("They never agree.")


def test_the_right_key_is_taken_and_another_is_not(tmp_path: Path) -> None:
    from tests.certificates import Certificates

    certificates = Certificates(tmp_path)
    own, other = certificates.make("home.example"), certificates.make("home.example")
    shake_hands(pinned_context(pin_of(own.public_key)), own.context())
    with pytest.raises(WrongKeyError):
        shake_hands(pinned_context(pin_of(own.public_key)), other.context())


@pytest.mark.parametrize("pin", ["", "0" * 52, "short"])
def test_no_pin_stands_for_any_key(tmp_path: Path, pin: str) -> None:
    from tests.certificates import Certificates

    made = Certificates(tmp_path).make("home.example")
    with pytest.raises(WrongKeyError):
        shake_hands(pinned_context(pin), made.context())

"""TLS with a server that is known by its key alone. Not a byte is sent before the key has been looked at.

The handshake proves that the other side holds the key of the certificate that it shows; whether that is the key that
the phone was given is asked inside the handshake, before the connection is handed to anybody. Names, dates and issuers
do not matter: a certificate that was made anew with the same key is as good, one with another key never is.
"""

import hmac
import ssl

from mobile.sync.certificate_key import public_key
from shared_models.connecting_text import pin_of


class WrongKeyError(ssl.SSLError):
    """Whoever answers holds another key than the one that was looked for."""


class _PinnedContext(ssl.SSLContext):
    """Settings of a connection that carry the pin with them."""

    pin: str


class _PinnedSocket(ssl.SSLSocket):
    """A connection that ends where the key is another."""

    def do_handshake(self, block: bool = False) -> None:
        """Shake hands, then look at the key."""
        super().do_handshake(block)
        _look_at_key(self.context, self.getpeercert(binary_form=True))


class _PinnedObject(ssl.SSLObject):
    """The same inside another connection, as through a proxy that is encrypted itself."""

    def do_handshake(self) -> None:
        """Shake hands, then look at the key."""
        super().do_handshake()
        _look_at_key(self.context, self.getpeercert(binary_form=True))


def pinned_context(pin: str) -> ssl.SSLContext:
    """Settings for connections to the server with this key, and to no other."""
    context = _PinnedContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE  # whose certificate it is, is asked by `_look_at_key`
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.pin = pin
    context.sslsocket_class, context.sslobject_class = _PinnedSocket, _PinnedObject
    return context


def _look_at_key(context: ssl.SSLContext, certificate: bytes | None) -> None:
    found = _pin(certificate)
    if found and isinstance(context, _PinnedContext) and hmac.compare_digest(found, context.pin):
        return
    raise WrongKeyError("The key is another one.")


def _pin(certificate: bytes | None) -> str:
    try:
        return pin_of(public_key(certificate or b""))
    except ValueError:  # laid out otherwise than any certificate
        return ""

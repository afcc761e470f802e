"""Certificates for tests: an authority that nobody else trusts, and what it signs. Knows nothing of the project."""

from __future__ import annotations

import ipaddress
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.x509.oid import NameOID

KEYS: dict[str, Any] = {
    "P-256": lambda: ec.generate_private_key(ec.SECP256R1()),
    "P-384": lambda: ec.generate_private_key(ec.SECP384R1()),
    "RSA": lambda: rsa.generate_private_key(65537, 2048),
    "Ed25519": ed25519.Ed25519PrivateKey.generate,
}


@dataclass(frozen=True)
class Made:
    """A certificate with its key, in files and as bytes."""

    certificate: Path
    key_file: Path
    key: Any

    @property
    def der(self) -> bytes:
        """The certificate as it goes over the wire."""
        found = x509.load_pem_x509_certificate(self.certificate.read_bytes())
        return found.public_bytes(serialization.Encoding.DER)

    @property
    def public_key(self) -> bytes:
        """Its SubjectPublicKeyInfo, as the library writes it."""
        encoding, layout = serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
        return bytes(self.key.public_key().public_bytes(encoding, layout))

    def context(self, newest: ssl.TLSVersion | None = None) -> ssl.SSLContext:
        """What a server with this certificate speaks; `newest` may be an old version that only tests still speak."""
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        if newest is not None:
            context.set_ciphers("DEFAULT:@SECLEVEL=0")
            context.minimum_version = context.maximum_version = newest
        context.load_cert_chain(self.certificate, self.key_file)
        return context


class Certificates:
    """Makes certificates in a folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made = 0
        self.authority = self.make("Authority of the tests", authority=True)

    def make(
        self,
        *names: str,
        kind: str = "P-256",
        key: Any = None,
        signed_by: Made | None = None,
        ends_in: timedelta = timedelta(days=30),
        authority: bool = False,
    ) -> Made:
        """A certificate for names and addresses; signed by itself where nobody else does."""
        key = key or KEYS[kind]()
        issuer = signed_by.key if signed_by else key
        end = datetime.now(UTC) + ends_in
        made = (
            x509.CertificateBuilder()
            .subject_name(_called(names[0]))
            .issuer_name(_called("Authority of the tests") if signed_by else _called(names[0]))
            .public_key(key.public_key())
            .serial_number(x509.random_serial_number())
            .not_valid_before(end - timedelta(days=60))
            .not_valid_after(end)
            .add_extension(x509.SubjectAlternativeName([_name(name) for name in names]), critical=False)
            .add_extension(x509.BasicConstraints(ca=authority, path_length=None), critical=True)
            .sign(issuer, None if isinstance(issuer, ed25519.Ed25519PrivateKey) else hashes.SHA256())
        )
        self._made += 1
        certificate, key_file = (self._folder / f"{self._made}.{end}" for end in ("crt", "key"))
        certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
        key_file.write_bytes(
            key.private_bytes(
                serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
            )
        )
        return Made(certificate, key_file, key)


def _called(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name.replace(" ", "-"))

"""A certificate of the server's own, for a server at home that no authority knows. Phones know it by its key alone.

The key is made once and never replaced: it is what phones were told to look for. The certificate around it holds names
and dates for browsers, and can be made anew.
"""

import ipaddress
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from server.services.private_files import put_once
from shared_models.connecting_text import pin_of
from shared_models.errors import StoreError
from shared_models.language import say

VALID_FOR = timedelta(days=20 * 365)
_HERE = ("localhost", "127.0.0.1", "::1")


@dataclass(frozen=True, slots=True)
class OwnCertificate:
    """The two files, and what the key is told by."""

    certificate: Path
    key: Path
    pin: str


def own_certificate(folder: Path, names: Sequence[str]) -> OwnCertificate:
    """The server's own certificate, made in the folder where it is not there yet; `names` are for a new one."""
    key_file, certificate_file = folder / "tls.key", folder / "tls.crt"
    if not key_file.exists():
        put_once(key_file, _pem_of(ec.generate_private_key(ec.SECP256R1())))
    key = _read(key_file)
    if not certificate_file.exists():
        put_once(certificate_file, _certificate(key, [*names, *_HERE]))
    if _key_of(certificate_file) != _public(key):
        raise StoreError(
            say(
                "The certificate in {file} is of another key than the one beside it. Both were left as they are; "
                "move the certificate away, and a new one is made for the key.",
                file=certificate_file,
            )
        )
    return OwnCertificate(certificate_file, key_file, pin_of(_public(key)))


def renew(folder: Path, names: Sequence[str]) -> OwnCertificate:
    """A new certificate for the same key, for other names or dates; the earlier one stays beside it."""
    certificate_file = folder / "tls.crt"
    if certificate_file.exists():
        certificate_file.replace(folder / f"tls.{datetime.now(UTC):%Y%m%dT%H%M%S%f}.crt")
    return own_certificate(folder, names)


def _certificate(key: ec.EllipticCurvePrivateKey, names: Sequence[str]) -> bytes:
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Pomeward")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(called)
        .issuer_name(called)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # a phone's or browser's clock may be behind
        .not_valid_after(now + VALID_FOR)
        .add_extension(x509.SubjectAlternativeName(_alternative(names)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    return made.public_bytes(serialization.Encoding.PEM)


def _alternative(names: Sequence[str]) -> list[x509.GeneralName]:
    found: list[x509.GeneralName] = []
    for name in dict.fromkeys(names):
        try:
            found.append(x509.IPAddress(ipaddress.ip_address(name)))
        except ValueError:
            with suppress(ValueError):  # a name that is not ASCII; phones do not look at it
                found.append(x509.DNSName(name))
    return found


def _read(file: Path) -> ec.EllipticCurvePrivateKey:
    try:
        key = serialization.load_pem_private_key(file.read_bytes(), password=None)
    except (OSError, ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise _unreadable(file) from error
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise _unreadable(file)
    return key


def _key_of(file: Path) -> bytes:
    try:
        certificate = x509.load_pem_x509_certificate(file.read_bytes())
        return certificate.public_key().public_bytes(
            serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
        )
    except (OSError, ValueError, UnsupportedAlgorithm) as error:
        raise StoreError(
            say(
                "The certificate in {file} cannot be read. It was left as it is; move it away, and a new one is made "
                "for the same key.",
                file=file,
            )
        ) from error


def _unreadable(file: Path) -> StoreError:
    return StoreError(
        say(
            "The key in {file} cannot be read. It was left as it is, since phones know the server by "
            "its key; put it back from a copy, or move it away and connect every phone anew.",
            file=file,
        )
    )


def _public(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.public_key().public_bytes(
        serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
    )


def _pem_of(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )

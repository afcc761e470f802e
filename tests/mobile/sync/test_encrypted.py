"""A phone and servers over TLS, on real sockets: known by a key of its own, or by an ordinary certificate."""

from __future__ import annotations

import logging
import ssl
import warnings
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.__main__ import main
from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from mobile.sync.replies import UntrustedServerError
from shared_models.connecting_text import ConnectingText, pin_of
from shared_models.errors import BadInputError, NotReachableError
from tests.mobile.phones import mark, picking_visit
from tests.mobile.sync.served import serving
from tests.mobile.sync.stranger import stranger

if TYPE_CHECKING:
    from tests.certificates import Certificates, Made

pytestmark = pytest.mark.needs_server
CODE = "7KQF-93XZ-ABCDE"
TRUSTED = timedelta(days=30)


@pytest.fixture
def certificates(tmp_path: Path) -> Certificates:
    """An authority, and what it signs."""
    from tests.certificates import Certificates

    folder = tmp_path / "certificates"
    folder.mkdir()
    return Certificates(folder)


@pytest.fixture
def own(certificates: Certificates) -> Made:
    """The key of a server at home."""
    return certificates.make("home.example")


def text(address: str, code: str, made: Made) -> str:
    """What the coordinator sends."""
    return ConnectingText(address, code, pin_of(made.public_key)).text()


def remote(store: PhoneStore) -> RemoteServer:
    """The server of a phone that is connected."""
    member = store.membership.current()
    assert member
    return RemoteServer(member.server, member.token, pin=member.pin)


def share(store: PhoneStore) -> int:
    """One exchange; how many were shared."""
    with remote(store) as server:
        return exchange(store, server).pushed


def trusting(monkeypatch: pytest.MonkeyPatch, made: Made) -> None:
    """Let this device trust an authority."""
    monkeypatch.setenv("SSL_CERT_FILE", str(made.certificate))


@pytest.mark.parametrize("place", ["first line", "second line"])
def test_one_text_connects_to_a_server_that_is_known_by_its_key(
    tmp_path: Path, own: Made, phone: PhoneStore, place: str
) -> None:
    picking_visit(phone)
    with serving(tmp_path / "server", tls=own.context()) as served:
        sent = text(served.url, served.code(), own)
        reply = connect(*((sent, "") if place == "first line" else ("", sent)), phone, "phone")
        assert reply.group_name == "Hillside (invented)" and share(phone) == 4
    member = phone.membership.current()
    assert member and (member.server, member.pin) == (served.url, pin_of(own.public_key))


@pytest.mark.parametrize("kind", ["P-256", "P-384", "RSA", "Ed25519"])
def test_a_text_for_another_key_sends_nothing_not_even_the_code(
    certificates: Certificates, own: Made, phone: PhoneStore, kind: str
) -> None:
    other = certificates.make("home.example", kind=kind)
    with stranger(other.context()) as somebody, pytest.raises(UntrustedServerError) as refusal:
        connect(text(somebody.address, CODE, own), "", phone, "phone")
    assert (somebody.hands_shaken, somebody.heard) == (1, b"")
    said = str(refusal.value)
    assert (
        "another key" in said and "Nothing was sent" in said and "kept" in said and "new connecting" in said
    )
    assert phone.membership.current() is None


def test_another_server_at_the_address_gets_no_token_and_no_record(
    tmp_path: Path, certificates: Certificates, own: Made, phone: PhoneStore
) -> None:
    with serving(tmp_path / "server", tls=own.context()) as served:
        connect(text(served.url, served.code(), own), "", phone, "phone")
    picking_visit(phone)
    other = certificates.make("home.example")
    with stranger(other.context(), served.port) as somebody:
        for _ in range(3):
            with pytest.raises(UntrustedServerError, match="another key"):
                share(phone)
    assert (somebody.hands_shaken, somebody.heard) == (3, b"")
    assert phone.sharing().waiting == 4, "everything stays on the phone"
    with serving(tmp_path / "server", served.port, own.context()):
        assert share(phone) == 4, "and goes to the true server once it is there again"


def test_an_ordinary_certificate_does_not_stand_in_for_the_key(
    certificates: Certificates, own: Made, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    trusting(monkeypatch, certificates.authority)
    trusted = certificates.make("127.0.0.1", signed_by=certificates.authority)
    with stranger(trusted.context()) as somebody, pytest.raises(UntrustedServerError, match="another key"):
        connect(text(somebody.address, CODE, own), "", phone, "phone")
    assert (somebody.hands_shaken, somebody.heard) == (1, b"")


def test_a_certificate_made_anew_with_the_same_key_goes_on(
    tmp_path: Path, certificates: Certificates, own: Made, phone: PhoneStore
) -> None:
    with serving(tmp_path / "server", tls=own.context()) as served:
        connect(text(served.url, served.code(), own), "", phone, "phone")
    renewed = certificates.make("new-name.example", key=own.key)
    assert renewed.der != own.der
    picking_visit(phone)
    with serving(tmp_path / "server", served.port, renewed.context()):
        assert share(phone) == 4


def test_the_dates_of_a_certificate_that_is_known_by_its_key_do_not_matter(
    tmp_path: Path, certificates: Certificates, phone: PhoneStore
) -> None:
    old = certificates.make("home.example", ends_in=-timedelta(days=1))
    with serving(tmp_path / "server", tls=old.context()) as served:
        connect(text(served.url, served.code(), old), "", phone, "phone")
        assert share(phone) == 1


def test_an_ordinary_certificate_is_enough(
    tmp_path: Path, certificates: Certificates, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    trusting(monkeypatch, certificates.authority)
    made = certificates.make("127.0.0.1", "orchard.example", signed_by=certificates.authority)
    with serving(tmp_path / "server", tls=made.context()) as served:
        connect(served.url, served.code(), phone, "phone")
        assert share(phone) == 1
    member = phone.membership.current()
    assert member and member.pin == ""


@pytest.mark.parametrize("fault", ["too old", "another name", "an unknown authority", "signed by itself"])
def test_an_ordinary_certificate_with_a_fault_gets_nothing(
    certificates: Certificates, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch, fault: str
) -> None:
    trusting(monkeypatch, certificates.authority)
    signed_by = certificates.authority
    made = {
        "too old": lambda: certificates.make("127.0.0.1", signed_by=signed_by, ends_in=-timedelta(days=1)),
        "another name": lambda: certificates.make("orchard.example", signed_by=signed_by),
        "an unknown authority": lambda: certificates.make(
            "127.0.0.1", signed_by=certificates.make("Another authority", authority=True)
        ),
        "signed by itself": lambda: certificates.make("127.0.0.1"),
    }[fault]()
    with stranger(made.context()) as somebody, pytest.raises(UntrustedServerError) as refusal:
        connect(somebody.address, CODE, phone, "phone")
    assert somebody.callers == 1 and somebody.heard == b""
    said = str(refusal.value)
    assert "could not prove" in said and "Nothing was sent" in said and "date is right" in said
    assert phone.membership.current() is None


def test_no_phone_speaks_an_old_version_of_the_encryption(
    certificates: Certificates, own: Made, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    trusting(monkeypatch, certificates.authority)
    made = certificates.make("127.0.0.1", signed_by=certificates.authority)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        old_own, old_trusted = (one.context(ssl.TLSVersion.TLSv1_1) for one in (own, made))
    for context, sent in ((old_own, text), (old_trusted, lambda address, *_: address)):
        with stranger(context) as somebody, pytest.raises(UntrustedServerError, match="No safe connection"):
            connect(sent(somebody.address, CODE, own), CODE, phone, "phone")
        assert (somebody.callers, somebody.hands_shaken, somebody.heard) == (1, 0, b"")


def test_a_phone_speaks_tls_1_2_where_nothing_newer_is_there(
    tmp_path: Path, own: Made, phone: PhoneStore
) -> None:
    context = own.context()
    context.maximum_version = ssl.TLSVersion.TLSv1_2
    with serving(tmp_path / "server", tls=context) as served:
        connect(text(served.url, served.code(), own), "", phone, "phone")
        assert share(phone) == 1


def test_a_server_without_encryption_at_the_address_gets_nothing_readable(
    tmp_path: Path, own: Made, phone: PhoneStore
) -> None:
    with serving(tmp_path / "server") as served:
        sent = text(f"https://127.0.0.1:{served.port}", served.code(), own)
        with pytest.raises(UntrustedServerError, match="No safe connection"):
            connect(sent, "", phone, "phone")


def test_speaking_plainly_to_an_encrypted_port_gets_nowhere(
    tmp_path: Path, own: Made, phone: PhoneStore
) -> None:
    with serving(tmp_path / "server", tls=own.context()) as served:
        code = served.code()
        with pytest.raises(NotReachableError):
            connect(f"http://127.0.0.1:{served.port}", code, phone, "phone")
        assert phone.membership.current() is None
        connect(text(served.url, code, own), "", phone, "phone")


def test_the_command_of_the_phone_takes_the_one_text(
    tmp_path: Path, own: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    data = ["--data", str(tmp_path / "data")]
    assert main([*data, "begin", "Ida", "--zone", "Europe/Rome"]) == 0
    with serving(tmp_path / "server", tls=own.context()) as served:
        assert main([*data, "connect", text(served.url, served.code(), own)]) == 0
        assert main([*data, "share"]) == 0
    assert "1 shared" in capsys.readouterr().out


def test_half_a_text_is_told_before_anything_is_sent(own: Made, phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="not whole") as refusal:
        connect(text("https://127.0.0.1:9", CODE, own)[:60], "", phone, "phone")
    assert refusal.value.field == "code"


def test_neither_token_nor_code_is_in_any_log(
    tmp_path: Path,
    own: Made,
    phone: PhoneStore,
    caplog: pytest.LogCaptureFixture,
    capfd: pytest.CaptureFixture[str],
) -> None:
    caplog.set_level(logging.DEBUG)
    for name in ("httpx", "httpcore", "uvicorn", "uvicorn.error", "asyncio", "sqlalchemy"):
        caplog.set_level(logging.DEBUG, name)
    with serving(tmp_path / "server", tls=own.context()) as served:
        code = served.code()
        connect(text(served.url, code, own), "", phone, "phone")
        mark(phone, picking_visit(phone))
        share(phone)
        served.revoke_all()
        with pytest.raises(Exception, match="not connected"):
            share(phone)
    member = phone.membership.current()
    assert member and len(caplog.records) > 10
    printed = "".join(capfd.readouterr()) + "".join(str(vars(record)) for record in caplog.records)
    for secret in (member.token, code, code.replace("-", "")):
        assert secret not in printed

"""`pomeward serve` with encryption: a certificate of its own, one in files, and a proxy in front."""

from __future__ import annotations

import socket
import ssl
import warnings
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from server.settings import Settings
from shared_models.connecting_text import read_connecting_text
from tests.certificates import Certificates
from tests.server.process import ServerProcess


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[PhoneStore]:
    """A phone after its first start."""
    store = PhoneStore(tmp_path / "phone.db")
    store.begin("Ada", "Europe/Rome")
    yield store
    store.close()


@pytest.fixture
def at_home(settings: Settings) -> Iterator[ServerProcess]:
    """A server with a certificate of its own, reached at this machine's own address."""
    process = ServerProcess(settings, port=0, OWN_CERTIFICATE="yes")
    yield process
    if process.process and process.process.poll() is None:
        process.kill()


def test_a_phone_is_connected_with_the_text_that_the_command_prints(
    at_home: ServerProcess, phone: PhoneStore
):
    at_home.run("group", "Hill (invented)")
    address = at_home.start()
    sent = at_home.run("connect", "Hill (invented)")
    assert address.startswith("https://127.0.0.1:") and read_connecting_text(sent).address == address
    connect(sent, "", phone, "phone")
    member = phone.membership.current()
    assert member and member.pin == read_connecting_text(sent).pin
    with RemoteServer(member.server, member.token, pin=member.pin) as server:
        assert exchange(phone, server).pushed == 1
    secrets = (member.token, read_connecting_text(sent).code)
    at_home.kill()
    assert at_home.start().startswith("https://")
    printed = at_home.end()
    assert not [secret for secret in secrets if secret in printed]


def test_the_same_key_answers_after_every_start(at_home: ServerProcess):
    at_home.run("group", "Hill")
    pins = set()
    for _ in range(2):
        at_home.start()
        pins.add(read_connecting_text(at_home.run("connect", "Hill")).pin)
        at_home.kill()
    assert "phones know its key as" in at_home.run("certificate", "--renew")
    at_home.start()
    pins.add(read_connecting_text(at_home.run("connect", "Hill")).pin)
    assert len(pins) == 1


def test_it_listens_everywhere_with_encryption_only(settings: Settings):
    plain = ServerProcess(settings, port=0, HOST="0.0.0.0").attempt("serve")
    assert plain.returncode == 1 and "this machine only" in plain.stderr and "own-certificate" in plain.stderr
    process = ServerProcess(settings, port=0, HOST="0.0.0.0", OWN_CERTIFICATE="yes")
    address = process.start()
    port = int(address.rsplit(":", 1)[1])
    answer = httpx.get(f"https://127.0.0.1:{port}/api/v1/hello", verify=False, trust_env=False)
    process.kill()
    assert "0.0.0.0" not in address and answer.json()["service"] == "pomeward"


def test_it_speaks_no_old_version_and_no_plain_http(at_home: ServerProcess):
    port = int(at_home.start().rsplit(":", 1)[1])
    old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        old.minimum_version = old.maximum_version = ssl.TLSVersion.TLSv1_1
    old.set_ciphers("DEFAULT:@SECLEVEL=0")
    with socket.create_connection(("127.0.0.1", port)) as line, pytest.raises(ssl.SSLError):
        old.wrap_socket(line)
    with pytest.raises(httpx.TransportError):
        httpx.get(f"http://127.0.0.1:{port}/api/v1/hello", trust_env=False)
    assert at_home.end() == "", "nothing to say about those who knock wrongly"


def test_a_browser_that_was_told_of_the_certificate_takes_it(at_home: ServerProcess, settings: Settings):
    at_home.run("group", "Hill")
    address = at_home.start()
    told = ssl.create_default_context(cafile=str(settings.data / "tls.crt"))
    with httpx.Client(base_url=address, verify=told, trust_env=False, follow_redirects=True) as browser:
        form = browser.get(at_home.run("connect", "Hill", "--browser"))
        assert form.status_code == 200 and "Hill" in form.text
        code = at_home.run("connect", "Hill", "--browser").split("code=")[1]
        page = browser.post("/connect", data={"code": code, "name": "Ada"}, headers={"Origin": address})
        assert page.status_code == 200
        (cookie,) = browser.cookies.jar
        assert cookie.name == "__Host-pomeward" and cookie.secure and cookie.path == "/"
        assert browser.get("/season").status_code == 200


def test_a_certificate_in_files_is_served(settings: Settings, tmp_path: Path):
    certificates = Certificates(tmp_path)
    made = certificates.make("127.0.0.1", signed_by=certificates.authority)
    process = ServerProcess(settings, port=0, CERTIFICATE=made.certificate, CERTIFICATE_KEY=made.key_file)
    process.run("group", "Hill")
    address = process.start()
    told = ssl.create_default_context(cafile=str(certificates.authority.certificate))
    answer = httpx.get(f"{address}/api/v1/hello", verify=told, trust_env=False)
    code = process.run("connect", "Hill")
    process.kill()
    assert answer.status_code == 200 and "pomeward:" not in code and not (settings.data / "tls.key").exists()


@pytest.mark.parametrize("fault", ["no file", "another key", "no key", "both ways", "a password"])
def test_files_that_cannot_be_used_are_told(settings: Settings, tmp_path: Path, fault: str):
    certificates = Certificates(tmp_path)
    one, other = certificates.make("127.0.0.1"), certificates.make("127.0.0.1")
    files: dict[str, object] = {"CERTIFICATE": one.certificate, "CERTIFICATE_KEY": one.key_file}
    if fault == "a password":
        from cryptography.hazmat.primitives import serialization

        way = serialization.BestAvailableEncryption(b"secret")
        layout = serialization.PrivateFormat.PKCS8
        one.key_file.write_bytes(one.key.private_bytes(serialization.Encoding.PEM, layout, way))
    changed: dict[str, dict[str, object]] = {
        "no file": {"CERTIFICATE": tmp_path / "nowhere"},
        "another key": {"CERTIFICATE_KEY": other.key_file},
        "no key": {"CERTIFICATE_KEY": ""},
        "both ways": {"OWN_CERTIFICATE": "yes"},
        "a password": {},
    }
    refused = ServerProcess(settings, port=0, **(files | changed[fault])).attempt("serve")
    assert refused.returncode == 1 and "was not started" in refused.stderr
    assert len(refused.stderr.splitlines()) == 1


def test_behind_a_proxy_it_stays_plain_on_this_machine(settings: Settings):
    process = ServerProcess(settings, port=0, ADDRESS="https://orchard.example")
    process.run("group", "Hill")
    address = process.start()
    assert address.startswith("http://127.0.0.1:")
    assert process.run("connect", "Hill", "--browser").startswith("https://orchard.example/connect?code=")
    code = process.run("connect", "Hill")
    through = {"Host": "orchard.example", "X-Forwarded-Proto": "https", "Origin": "https://orchard.example"}
    with httpx.Client(base_url=address, trust_env=False) as proxy:
        answer = proxy.post("/connect", data={"code": code, "name": "Ada"}, headers=through)
    process.kill()
    assert answer.status_code == 303 and "__Host-pomeward=" in answer.headers["set-cookie"]
    assert "Secure" in answer.headers["set-cookie"]
    assert (
        ServerProcess(settings, port=0, HOST="0.0.0.0", ADDRESS="https://x.example")
        .attempt("serve")
        .returncode
    )

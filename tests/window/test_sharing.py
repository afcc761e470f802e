"""Sharing with a real server over HTTP, with a finger: connecting, sharing, and what cannot be."""

from __future__ import annotations

import ssl
from collections.abc import Iterator
from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.pace import BEGIN
from mobile.workflows.device_choices import choose
from server.services.own_certificate import own_certificate
from server.settings import Settings
from shared_models.connecting_text import ConnectingText
from shared_models.vocabulary import Role
from tests.mobile.sync.served import serving
from tests.server.running import RunningServer
from tests.window.invented import Invented, open_at, used

PHONE = (360, 640)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone that was used and never connected."""
    return used(tmp_path / "phone")


@pytest.fixture
def server(tmp_path: Path) -> Iterator[RunningServer]:
    """A server on a free loopback port."""
    running = RunningServer(Settings(data=tmp_path / "server"))
    running.start()
    yield running
    running.stop()


def waiting(invented: Invented) -> int:
    """How many entries are not shared."""
    store = PhoneStore(invented.settings.file, invented.clock)
    count = store.sharing().waiting
    store.close()
    return count


def connect(phone, url: str, code: str) -> None:
    phone.touch("Connect to a group")
    phone.fill("Address of the group’s server", url)
    phone.fill("One-time code", code)
    phone.touch("Connect")


def test_a_phone_is_connected_and_shares_all_it_has(phone, invented, server):
    group = server.group("Hillside (invented)")
    code = server.services.connecting.invite(group, Role.KEEPER)
    before = waiting(invented)
    open_at(phone, invented, "sharing", PHONE)
    assert phone.sees("records are on this phone only")
    connect(phone, server.url, code)
    phone.until(lambda: phone.sees("belongs to the group “Hillside (invented)” now"))
    phone.settle()
    assert phone.sees(f"{before} records shared.") and phone.sees("records, all shared")
    phone.close()
    assert waiting(invented) == 0


def test_the_one_text_of_a_server_at_home_is_enough(phone, invented, tmp_path):
    own = own_certificate(tmp_path / "server", ["127.0.0.1"])
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(own.certificate, own.key)
    with serving(tmp_path / "server", tls=tls) as served:
        sent = ConnectingText(served.url, served.code(), own.pin).text()
        open_at(phone, invented, "sharing", PHONE)
        connect(phone, sent, "")
        phone.until(lambda: phone.sees("belongs to the group “Hillside (invented)” now"))
        phone.settle()
        assert phone.sees("records, all shared")
        phone.close()
    assert waiting(invented) == 0
    assert sent.encode() not in b"".join(
        file.read_bytes() for file in invented.settings.data.rglob("*") if file.is_file()
    ), "the code is never kept"


def test_a_wrong_code_is_told_and_what_was_typed_stays(phone, invented, server):
    open_at(phone, invented, "sharing", PHONE)
    connect(phone, server.url, "AAAA-BBBB-CCCCC")
    phone.until(lambda: phone.sees("This code cannot be used"))
    assert phone.sees(server.url)
    phone.close()
    assert waiting(invented) > 0


def test_an_address_in_the_clear_is_refused(phone, invented):
    open_at(phone, invented, "sharing", PHONE)
    connect(phone, "http://orchard.example", "AAAA-BBBB-CCCCC")
    phone.until(lambda: phone.sees("is not encrypted"))


def test_a_server_that_is_gone_is_told_and_everything_stays(phone, invented, server):
    group = server.group()
    open_at(phone, invented, "sharing", PHONE)
    connect(phone, server.url, server.services.connecting.invite(group, Role.KEEPER))
    phone.until(lambda: phone.sees("belongs to the group"))
    server.stop()
    phone.settle()
    phone.touch("Share now")
    phone.until(lambda: phone.sees("The server cannot be reached. Everything is kept"))
    assert phone.sees("Share now")


def test_the_top_line_leads_here(phone, invented):
    app = open_at(phone, invented, "today", PHONE)
    phone.tap(app.frame.top_line)
    phone.settle()
    assert phone.sees("No group yet")


@pytest.mark.parametrize(("by_itself", "left"), [(True, 0), (False, 1)])
def test_what_was_recorded_is_shared_without_being_asked_unless_one_chose_otherwise(
    phone, invented, server, by_itself, left
):
    open_at(phone, invented, "sharing", PHONE)
    connect(phone, server.url, server.code(server.group()))
    phone.until(lambda: phone.sees("records, all shared"))
    phone.close()
    store = PhoneStore(invented.settings.file, invented.clock)
    store.record("note", {"when": "2026-09-12", "text": "Later (invented)"})
    choose(store, shares_itself=by_itself)
    store.close()
    open_at(phone, invented, "today", PHONE)
    phone.wait(BEGIN + 6)
    if by_itself:
        phone.until(lambda: phone.sees("all shared"))
    phone.settle()
    phone.close()
    assert waiting(invented) == left

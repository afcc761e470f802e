"""Phones and a real server over real HTTP on loopback."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from mobile.__main__ import main
from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from shared_models.errors import NotAllowedError, NotReachableError
from shared_models.reports import season_report
from tests.mobile.phones import Phones, mark, picking_visit
from tests.mobile.sync.served import Served, serving

pytestmark = pytest.mark.needs_server


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A server with a group."""
    with serving(tmp_path / "server") as served:
        yield served


def remote(store: PhoneStore) -> RemoteServer:
    """The server of a phone that is connected."""
    member = store.membership.current()
    assert member
    return RemoteServer(member.server, member.token, pin=member.pin)


def test_a_server_says_who_it_is(served: Served) -> None:
    with RemoteServer(served.url) as server:
        hello = server.hello()
    assert hello.service == "pomeward"
    assert abs(datetime.fromisoformat(hello.server_time) - datetime.now(UTC)).total_seconds() < 60


def test_two_phones_connect_share_and_show_the_same_report(served: Served, phones: Phones) -> None:
    first, second = phones.begun("first.db"), phones.begun("second.db")
    visit = picking_visit(first)
    first.record_all([Draft("mark", {"visit": visit, "marks": ["clean"]}) for _ in range(1300)])
    for store in (first, second):
        reply = connect(served.url, served.code(), store, "phone")
        assert reply.group_name == "Hillside (invented)"
        with remote(store) as server:
            exchange(store, server)
    mark(second, visit, "sting")
    for store in (second, first):
        with remote(store) as server:
            exchange(store, server)
    assert season_report(first.season("2026")) == season_report(second.season("2026"))
    assert first.sharing().waiting == 0 and first.sharing().shared == second.sharing().shared == 1306


def test_what_is_pushed_comes_back_byte_for_byte(served: Served, phone: PhoneStore) -> None:
    phone.record("note", {"when": "unknown", "text": "“Zürich” \U0001f34e\t\\ \u2028 end"})
    phone.record("garden", {"name": "Hill", "hemisphere": "north", "lat": 47.3769, "elevation_m": 408.0})
    sent = [entry.body for entry in phone.outgoing.oldest(100, 10**6)]
    connect(served.url, served.code(), phone, "phone")
    with remote(phone) as server:
        exchange(phone, server)
        back = [
            json.dumps(item.entry, ensure_ascii=False, separators=(",", ":"))
            for item in server.pull(0, 9, "").items
        ]
    assert back == sent


def test_a_code_works_once(served: Served, phones: Phones) -> None:
    first, second = phones.begun("first.db"), phones.begun("second.db")
    code = served.code()
    connect(served.url, code.lower().replace("-", " "), first, "phone")
    with pytest.raises(NotAllowedError, match="cannot be used"):
        connect(served.url, code, second, "phone")
    assert second.membership.current() is None


def test_a_phone_that_was_disconnected_keeps_everything_and_can_connect_again(
    served: Served, phone: PhoneStore
) -> None:
    connect(served.url, served.code(), phone, "phone")
    served.revoke_all()
    visit = picking_visit(phone)
    mark(phone, visit)
    with remote(phone) as server, pytest.raises(NotAllowedError):
        exchange(phone, server)
    assert phone.sharing().waiting == 5 and [count.n for count in phone.tallies(visit)] == [1]
    connect(served.url, served.code(), phone, "phone")
    with remote(phone) as server:
        assert exchange(phone, server).pushed == 5


def test_a_server_that_is_gone_and_comes_back_gets_everything(
    served: Served, phone: PhoneStore, tmp_path: Path
) -> None:
    connect(served.url, served.code(), phone, "phone")
    served.stop()
    picking_visit(phone)
    with remote(phone) as server, pytest.raises(NotReachableError):
        exchange(phone, server)
    assert phone.sharing().waiting == 4
    again = Served(tmp_path / "server", served.port)
    again.start()
    with remote(phone) as server:
        assert exchange(phone, server).pushed == 4
    again.stop()


def test_the_command_connects_and_shares(
    served: Served, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = ["--data", str(tmp_path / "data")]
    assert main([*data, "begin", "Ida", "--zone", "Europe/Rome"]) == 0
    assert main([*data, "connect", served.url, served.code()]) == 0
    assert main([*data, "share"]) == 0
    said = capsys.readouterr().out
    assert "1 shared, 0 new from others." in said and "Hillside (invented)" in said and "0 not shared" in said

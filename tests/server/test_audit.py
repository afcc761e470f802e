"""What was done to the server is written down, only added to, and holds no secret."""

from __future__ import annotations

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from server.services import audit
from server.services.audit import MOST_FAILED, Deed, Refusals
from tests.server.running import RunningServer


def told(server: RunningServer, group=None) -> list[str]:
    """The lines as the command prints them."""
    return audit.told(server.services.database, group.id if group else None)


def test_connecting_failing_to_and_being_disconnected_are_written_down(either_server: RunningServer):
    hill, valley = either_server.group("Hill (invented)"), either_server.group("Valley (invented)")
    either_server.caller(hill)
    assert either_server.stranger().connect("AAAA-BBBB-CCCCC").status_code == 403
    (device,) = either_server.services.connecting.devices(hill)
    either_server.services.connecting.revoke(hill, device.id, "command of ada")
    connected, failed, disconnected = told(either_server)
    assert f"phone, Ada ({device.id})  connected  {hill.id}  keeper, from 127.0.0.1" in connected
    assert failed.endswith("unknown  could not connect  from 127.0.0.1")
    assert "command of ada  disconnected a device" in disconnected and device.id in disconnected
    assert told(either_server, hill) == [connected, disconnected] and told(either_server, valley) == []


def test_a_browser_is_written_down_too(server: RunningServer, hill):
    http = server.stranger().http
    for code in (server.code(hill), "short", "AAAA-BBBB-CCCCC"):
        http.post("/connect", data={"code": code, "name": "Ada"}, headers={"Origin": server.url})
    assert [line.split("  ")[2] for line in told(server)] == [
        "connected",
        "could not connect",
        "could not connect",
    ]


def test_no_line_holds_a_code_or_a_token(server: RunningServer, hill):
    code, wrong = server.code(hill), "AAAA-BBBB-CCCCC"
    token = server.stranger().connect(code).json()["token"]
    server.stranger().connect(code)
    server.stranger().connect(wrong)
    printed = "\n".join(told(server))
    assert not [one for one in (code, code.replace("-", ""), wrong, token) if one in printed]


def test_a_line_stays_one_line(server: RunningServer, hill):
    names = {"device_name": "phone\n2026-01-01  root  connected", "person_name": "A\x1b[2J\r\n"}
    from shared_models.identifiers import new_id

    code = server.code(hill)
    server.stranger().post("/connect", json={"code": code, "device": new_id(), "person": new_id(), **names})
    (line,) = told(server)
    assert line.isprintable()


@pytest.mark.parametrize("change", ["UPDATE audit SET who = 'nobody'", "DELETE FROM audit"])
def test_the_database_refuses_to_change_a_line(either_server: RunningServer, change: str):
    either_server.caller(either_server.group())
    before = told(either_server)
    with (
        pytest.raises(DBAPIError, match="only added to"),
        either_server.services.database.writing() as connection,
    ):
        connection.execute(text(change))
    assert told(either_server) == before != []


def test_whoever_guesses_codes_does_not_fill_the_disk(server: RunningServer):
    now = [0.0]
    refusals = Refusals(server.services.database, lambda: now[0])
    for _ in range(MOST_FAILED + 300):
        refusals.note("192.0.2.9")
    assert len(told(server)) == MOST_FAILED
    now[0] = 61.0
    refusals.note("192.0.2.9")
    assert told(server)[-1].endswith("from 192.0.2.9, and 300 more before")


def test_every_deed_has_words():
    assert set(audit._IN_WORDS) == set(Deed)


def test_the_command_prints_them(server: RunningServer, hill, settings):
    from tests.server.process import ServerProcess

    server.caller(hill)
    process = ServerProcess(settings, port=0)
    device = process.run("devices", hill.name).split()[0]
    process.run("revoke", hill.name, device)
    assert process.run("audit").splitlines() == process.run("audit", hill.name).splitlines() == told(server)
    assert "command of " in told(server)[-1]
    assert process.attempt("audit", "Nowhere").returncode == 1

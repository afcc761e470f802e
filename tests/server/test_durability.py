"""The server as its own process, killed and started again: what was acknowledged is there, under its number."""

from __future__ import annotations

import threading
import time

import httpx
import pytest

from shared_models.identifiers import new_id
from tests.builders import FieldPhone
from tests.server.process import ServerProcess
from tests.server.running import Caller

KILLS = 4


@pytest.fixture
def process(either_settings):
    found = ServerProcess(either_settings, port=0)
    yield found
    if found.process and found.process.poll() is None:
        found.kill()


class Pusher(threading.Thread):
    """Pushes until the server is gone; notes what was acknowledged."""

    def __init__(self, address: str, token: str) -> None:
        super().__init__()
        self.address, self.token = address, token
        self.acknowledged: dict[str, int] = {}

    def run(self) -> None:
        phone = FieldPhone()
        visit = phone.visit(phone.tree(phone.garden()))
        with httpx.Client(base_url=self.address, trust_env=False, timeout=30) as http:
            caller = Caller(http)
            caller.take_token(self.token)
            while True:
                try:
                    answers = caller.push([phone.mark(visit, "clean") for _ in range(20)])
                except httpx.TransportError:
                    return
                self.acknowledged.update({answer["id"]: answer["seq"] for answer in answers})


def test_a_killed_server_has_everything_that_it_acknowledged(process):
    process.run("group", "Hill")
    token = ""
    acknowledged: dict[str, int] = {}
    for round_ in range(KILLS):
        address = process.start()
        with httpx.Client(base_url=address, trust_env=False) as http:
            caller = Caller(http)
            if not token:
                token = caller.connect(process.run("connect", "Hill")).json()["token"]
            caller.take_token(token)
            stored = {entry: seq for seq, entry in enumerate(caller.pulled_ids(), 1)}
            assert acknowledged.items() <= stored.items()
            pushers = [Pusher(address, token) for _ in range(3)]
            for pusher in pushers:
                pusher.start()
            time.sleep(0.4 + 0.17 * round_)
            process.kill()
            for pusher in pushers:
                pusher.join()
                acknowledged |= pusher.acknowledged
    with httpx.Client(base_url=process.start(), trust_env=False) as http:
        caller = Caller(http)
        caller.take_token(token)
        stored = {entry: seq for seq, entry in enumerate(caller.pulled_ids(), 1)}
    assert len(acknowledged) > 100, "the pushers got through"
    assert acknowledged.items() <= stored.items()


def test_after_a_restart_phones_and_codes_are_still_good(settings):
    process = ServerProcess(settings, port=0)
    process.run("group", "Hill")
    code = process.run("connect", "Hill")
    for _ in range(2):
        address = process.start()
        answer = httpx.post(
            f"{address}/api/v1/connect",
            json={
                "code": code,
                "device": new_id(),
                "person": new_id(),
                "device_name": "x",
                "person_name": "y",
            },
        )
        process.kill()
        code = process.run("connect", "Hill")
        assert answer.status_code == 200


def test_an_ended_server_ends_cleanly(settings):
    process = ServerProcess(settings, port=0)
    address = process.start()
    assert process.process and process.process.stdout
    # It listens before it answers; ended in between it is killed, which is another test's matter.
    httpx.get(f"{address}/api/v1/hello").raise_for_status()
    process.process.terminate()
    assert process.process.wait(20) in (0, -15)
    process.process.stdout.close()
    assert not [file.name for file in settings.data.iterdir() if file.name.endswith("-wal")], (
        "the journal was taken in"
    )

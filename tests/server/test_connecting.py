"""One-time codes, tokens, and taking them back."""

from __future__ import annotations

import re
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import update

from server.database.tables import INVITATION
from server.services.connecting import key_in
from shared_models.connecting_text import CODE_LETTERS
from shared_models.errors import BadInputError
from shared_models.vocabulary import Role
from tests.builders import FieldPhone


def test_a_code_is_13_letters_that_nobody_mistakes(server, hill):
    code = server.code(hill)
    assert re.fullmatch(r"[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{5}", code)
    assert set(code.replace("-", "")) <= set(CODE_LETTERS)
    assert len({server.code(hill) for _ in range(50)}) == 50


def test_a_code_connects_one_device_to_its_group_and_role(server, hill):
    answer = server.stranger().connect(server.code(hill, Role.COORDINATOR))
    assert answer.status_code == 200
    reply = answer.json()
    assert (reply["group"], reply["group_name"], reply["role"]) == (hill.id, hill.name, "coordinator")
    assert len(reply["token"]) >= 43, "256 bits"
    assert answer.headers["cache-control"] == "no-store"


def test_a_code_is_good_once(server, hill):
    code, stranger = server.code(hill), server.stranger()
    assert stranger.connect(code).status_code == 200
    again = stranger.connect(code)
    assert again.status_code == 403
    assert again.json()["detail"].endswith("Ask for a new one.")
    assert len(server.services.connecting.devices(hill)) == 1


def test_of_many_who_try_one_code_at_once_one_gets_in(either_server):
    group = either_server.group()
    code = either_server.code(group)
    strangers = [either_server.stranger() for _ in range(8)]
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda stranger: stranger.connect(code).status_code, strangers))
    assert sorted(answers) == [200, *[403] * 7]
    assert len(either_server.services.connecting.devices(group)) == 1


def test_wrong_used_and_old_codes_get_the_same_answer(server, hill):
    stranger = server.stranger()
    used, old = server.code(hill), server.code(hill)
    stranger.connect(used)
    with server.services.database.writing() as connection:
        connection.execute(update(INVITATION).values(expires_at="2026-01-01T00:00:00.000Z"))
    answers = [stranger.connect(code) for code in (used, old, "0000-0000-00000", "ÄÖÜ ÄÖÜ ÄÖÜ")]
    assert {answer.status_code for answer in answers} == {403}
    assert len({answer.text for answer in answers}) == 1


def test_a_code_may_be_typed_as_people_type(server, hill):
    code = server.code(hill).replace("0", "o").replace("1", "l").replace("-", " ").lower()
    assert server.stranger().connect(code).status_code == 200


@pytest.mark.parametrize("minutes", [0, 11, -1])
def test_a_code_lasts_ten_minutes_at_most(server, hill, minutes: int):
    with pytest.raises(BadInputError):
        server.services.connecting.invite(hill, Role.KEEPER, minutes)


@pytest.mark.parametrize(
    "change", [{"device": "x"}, {"person": None}, {"device_name": "x" * 61}, {"code": "short"}, {"code": 7}]
)
def test_a_request_that_does_not_fit_is_refused_by_field_and_uses_no_code(server, hill, change):
    stranger, code = server.stranger(), server.code(hill)
    good = {"code": code, "device_name": "phone", "person_name": "Ada"}
    ids = {"device": FieldPhone().device, "person": FieldPhone().person_id}
    answer = stranger.post("/connect", json={**good, **ids, **change})
    assert answer.status_code == 400
    assert answer.json()["field"] == next(iter(change))
    assert stranger.connect(code).status_code == 200


def test_a_device_that_is_disconnected_is_refused_at_once(server, hill, keeper):
    phone = FieldPhone()
    garden = phone.garden()
    keeper.push([garden])
    (device,) = server.services.connecting.devices(hill)
    server.services.connecting.revoke(hill, device.id, "tests")
    for answer in (
        keeper.get("/entries"),
        keeper.post("/entries", content=b'{"entries":[]}'),
        keeper.get("/season"),
    ):
        assert answer.status_code == 401
        assert answer.json()["type"] == "/problems/not-connected"
        assert answer.headers["www-authenticate"] == "Bearer"
    assert server.caller(hill).pulled_ids() == [garden.id], "what it shared stays"


def test_a_device_of_another_group_cannot_be_disconnected(server, hill, keeper):
    (device,) = server.services.connecting.devices(hill)
    with pytest.raises(BadInputError):
        server.services.connecting.revoke(server.group("Valley (invented)"), device.id, "tests")
    assert keeper.get("/entries").status_code == 200


@pytest.mark.parametrize("header", ["", "Bearer", "Bearer wrong", "Basic YTpi", "bearer ü"])
def test_a_wrong_token_is_refused(server, header: str):
    answer = server.stranger().get("/entries", headers={"Authorization": header.encode()} if header else {})
    assert answer.status_code == 401


def test_neither_codes_nor_tokens_lie_on_the_disk(settings, server, hill):
    unused, used = server.code(hill), server.code(hill)
    token = server.stranger().connect(used).json()["token"]
    kept = b"".join(file.read_bytes() for file in settings.data.iterdir())
    for secret in (unused, used, unused.replace("-", ""), used.replace("-", ""), token):
        assert secret.encode() not in kept


def test_the_key_of_codes_is_for_the_server_alone_and_stays(tmp_path: Path):
    file = tmp_path / "new" / "code.key"
    key = key_in(file)
    assert len(key) == 32 and key_in(file) == key
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert [path.name for path in file.parent.iterdir()] == ["code.key"]


def test_the_database_file_is_for_the_server_alone(settings, server):
    assert {stat.S_IMODE(file.stat().st_mode) for file in settings.data.iterdir()} == {0o600}


def test_when_a_device_was_last_here_is_noted(server, hill, keeper):
    assert [device.last_seen for device in server.services.connecting.devices(hill)] == [None]
    keeper.get("/entries")
    (device,) = server.services.connecting.devices(hill)
    assert device.last_seen is not None and device.last_seen >= device.connected_at


def test_names_are_kept_without_control_characters(either_server):
    group = either_server.group()
    ids = {"device": FieldPhone().device, "person": FieldPhone().person_id}
    names = {"device_name": "pho\0ne", "person_name": "A\x1b[31mda"}
    code = either_server.code(group)
    assert either_server.stranger().post("/connect", json={"code": code, **ids, **names}).status_code == 200
    (device,) = either_server.services.connecting.devices(group)
    assert (device.device_name, device.person_name) == ("pho\ufffdne", "A\ufffd[31mda")


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "a\0b"])
def test_a_group_needs_a_name_that_can_be_read(server, name: str):
    with pytest.raises(BadInputError):
        server.group(name)


def test_two_groups_of_one_name_are_refused(server, hill):
    with pytest.raises(BadInputError):
        server.group(f"  {hill.name} ")

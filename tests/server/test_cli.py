"""The command `pomeward`, run as a person runs it, in this process."""

from __future__ import annotations

import json
import sys

import pytest

from server.cli.command import main
from server.cli.serving import refuse_open_network
from server.settings import settings_from
from shared_models.connecting_text import CODE_LETTERS
from shared_models.errors import NotAllowedError
from shared_models.language import together
from tests.builders import FieldPhone
from tests.server.running import RunningServer


@pytest.fixture
def pomeward(settings, monkeypatch, capsys):
    """Runs a command; returns its exit code, output and complaint."""
    monkeypatch.setenv("POMEWARD_DATA", str(settings.data))
    monkeypatch.delenv("POMEWARD_DATABASE_URL", raising=False)

    def run(*command: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["pomeward", *command])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        out, err = capsys.readouterr()
        return code, out, err

    return run


def test_a_group_is_made_and_listed(pomeward):
    assert pomeward("group", "Hill (invented)") == (0, "Made the group “Hill (invented)”.\n", "")
    code, out, _ = pomeward("groups")
    assert code == 0 and out.rstrip().endswith("Hill (invented)")


def test_an_error_is_one_sentence_and_exit_code_1(pomeward):
    code, out, err = pomeward("connect", "Nobody")
    assert (code, out) == (1, "")
    assert err == "There is no group “Nobody” on this server.\n"


def test_a_code_is_printed_and_an_address_for_browsers(pomeward):
    pomeward("group", "Hill")
    _, out, _ = pomeward("connect", "Hill", "--role", "viewer", "--minutes", "3")
    assert set(out.strip().replace("-", "")) <= set(CODE_LETTERS)
    _, out, _ = pomeward("connect", "Hill", "--browser")
    assert out.startswith("http://127.0.0.1:8745/connect?code=")


def test_a_code_for_longer_than_ten_minutes_is_refused(pomeward):
    pomeward("group", "Hill")
    code, _, err = pomeward("connect", "Hill", "--minutes", "60")
    assert code == 1 and err == "A code is good for 1 to 10 minutes.\n"


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.2", "orchard.example", ""])
def test_the_server_listens_on_this_machine_only(pomeward, host: str):
    with pytest.raises(NotAllowedError):
        refuse_open_network(host)
    if host:
        code, _, err = pomeward("serve", "--host", host)
        assert code == 1 and "this machine only" in err


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.8.8", "::1", "localhost"])
def test_this_machine_has_several_names(host: str):
    refuse_open_network(host)


def test_a_port_that_is_taken_is_told(pomeward, server: RunningServer):
    code, _, err = pomeward("serve", "--port", server.url.rsplit(":", 1)[1])
    assert code == 1 and "cannot be used here" in err


def test_a_setting_that_cannot_be_taken_is_named(pomeward, monkeypatch):
    monkeypatch.setenv("POMEWARD_PORT", "many")
    code, _, err = pomeward("groups")
    assert code == 1 and "POMEWARD_PORT" in err


def test_settings_come_from_the_environment_and_have_defaults():
    settings = settings_from({"POMEWARD_DATA": "/srv/pomeward", "POMEWARD_HOST": ""})
    assert (settings.host, settings.port) == ("127.0.0.1", 8745)
    assert settings.database == "sqlite:////srv/pomeward/server.sqlite"
    assert (
        settings_from({"POMEWARD_DATABASE_URL": "postgresql+psycopg://x"}).database
        == "postgresql+psycopg://x"
    )


def test_a_season_is_printed_as_text_json_and_a_page(pomeward, server, hill, keeper):
    phone = FieldPhone()
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    keeper.push([garden, tree, visit, phone.mark(visit, "sting"), phone.untreated(tree)])
    _, text, _ = pomeward("season", hill.name, "2026")
    assert text.startswith("Season 2026\n") and "1 of 1 damaged" in text
    _, written, _ = pomeward("season", hill.name, "2026", "--format", "json")
    assert json.loads(written) == keeper.get("/season/2026").json()
    _, page, _ = pomeward("season", hill.id, "2026", "--format", "html")
    assert "<style>" in page and "href=" not in page and "prefers-color-scheme" in page
    _, rows, _ = pomeward("season", hill.name, "2026", "--format", "csv", "--table", "trees")
    assert rows.startswith("season,garden,label,tree,") and len(rows.splitlines()) > 1
    _, years, _ = pomeward("years", hill.name)
    assert years.startswith("Seasons 2026") and "What each tree gave" in years
    code, _, err = pomeward("season", hill.name, "last")
    assert code == 1 and "names no season" in err


def test_timing_is_printed_as_text_and_json(pomeward, hill, keeper):
    phone = FieldPhone()
    garden = phone.garden()
    said = {"garden": garden.rec, "when": "2026-05-01", "lowest": 10, "highest": 24, "unit": "C"}
    keeper.push([garden, phone.makes("day_temperature", said)])
    _, text, _ = pomeward("timing", hill.name, "2026", "--day", "2026-05-02")
    assert together("7.0 °C-days (12.6 °F-days) from 2026-01-01 to 2026-05-01") in text
    _, written, _ = pomeward("timing", hill.name, "2026", "--day", "2026-05-02", "--json")
    assert json.loads(written) == keeper.get("/timing/2026?day=2026-05-02").json()
    assert pomeward("timing", hill.name, "last")[0] == 1


def test_devices_are_listed_and_disconnected(pomeward, server, hill, keeper):
    _, listed, _ = pomeward("devices", hill.name)
    device = listed.split()[0]
    assert "phone, Ada, keeper" in listed
    code, out, _ = pomeward("revoke", hill.name, device)
    assert (code, out) == (0, "“phone” is disconnected. What it shared stays.\n")
    assert keeper.get("/entries").status_code == 401
    assert "disconnected 20" in pomeward("devices", hill.name)[1]
    assert pomeward("revoke", hill.name, device)[0] == 1


def test_a_rebuild_says_how_many_records_there_are(pomeward, hill, keeper):
    keeper.push([FieldPhone().garden(), FieldPhone().garden()])
    assert pomeward("rebuild", hill.name) == (0, "Folded 2 records anew.\n", "")

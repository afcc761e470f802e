"""Importing temperatures through the server: on both databases, pulled by phones, and as a command."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from server.app import open_services
from server.cli.command import main
from server.database.records import GroupRecords
from server.dependencies import Services
from server.services.exchange import Exchange
from server.services.temperature_imports import TemperatureImports
from server.settings import Settings
from shared_models.entries import canonical_text
from shared_models.protocol import MAX_PULL_ENTRIES
from shared_models.records.jobs import DayTemperature
from shared_models.temperature_table.planning import temperature_id
from shared_models.temperature_table.reading import read_temperature_table
from shared_models.temperature_table.rows import AskedOfTable
from tests.builders import FieldPhone
from tests.server.services.test_imports import a_phone, push_as_a_phone
from tests.shared_models.calculations.seattle import seattle_days
from tests.shared_models.temperature_table.station_files import STATION, station_lines

ASKED = AskedOfTable()


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.needs_postgres)])
def services(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Services]:
    """A server's services on either database."""
    url = "" if request.param == "sqlite" else request.getfixturevalue("postgres").new_database()
    opened = open_services(Settings(data=tmp_path, database_url=url))
    yield opened
    opened.database.close()


def with_garden(services: Services) -> tuple[str, str]:
    """A group and its garden."""
    group = services.connecting.make_group("Slope").id
    garden = FieldPhone().garden("Hill")
    push_as_a_phone(services, group, [canonical_text(garden)])
    return group, garden.rec


def test_station_records_become_the_records_that_a_phone_would_make(services: Services):
    group, garden = with_garden(services)
    table = read_temperature_table(station_lines(seattle_days()), ASKED)
    imports = TemperatureImports(services.database, group)
    assert len(imports.understood(table, ASKED).changes) == len(seattle_days())
    imports.write(table, ASKED)
    with services.database.writing() as connection:
        written = {one.rec: one for one in GroupRecords(connection, group).all(DayTemperature)}
    assert set(written) == {temperature_id(garden, STATION, day) for day in seattle_days()}
    before = Exchange(services.database, a_phone(group)).pull(0, 1).max
    assert imports.write(table, ASKED).changes == []
    assert Exchange(services.database, a_phone(group)).pull(0, 1).max == before


def test_the_command_shows_what_it_understood_and_keeps_good_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    opened = open_services(Settings(data=tmp_path))
    group, _ = with_garden(opened)
    opened.database.close()
    file = tmp_path / "days.csv"
    file.write_text("date,tmin,tmax\n2026-05-01,44,66\n2026-05-02,70,66\n", encoding="utf-8")
    monkeypatch.setenv("POMEWARD_DATA", str(tmp_path))
    monkeypatch.delenv("POMEWARD_DATABASE_URL", raising=False)

    def run(*more: str) -> str:
        monkeypatch.setattr(sys, "argv", ["pomeward", "import-temperatures", group, str(file), *more])
        with pytest.raises(SystemExit) as ended:
            main()
        assert not ended.value.code
        return capsys.readouterr().out

    trial = run("--dry-run", "--source", "Shed")
    assert "Hill, from “Shed”: a line for each day." in trial and "in °F: a guess" in trial
    assert "Line 3: The lowest, 70, lies above the highest, 66" in trial and "this was a trial" in trial
    assert "To write: 1 new days" in run("--source", "Shed")
    assert "nothing to write" in run("--source", "Shed")
    opened = open_services(Settings(data=tmp_path))
    pulled = Exchange(opened.database, a_phone(group)).pull(0, MAX_PULL_ENTRIES)
    opened.database.close()
    told = [item.entry["f"] for item in pulled.items if item.entry["kind"] == DayTemperature.kind]
    assert [(one["lowest"], one["unit"], one["origin"]) for one in told] == [(44, "F", "Shed")]

"""A real server on a SQLite file, and the import of a trial into a fresh group of it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from demo.field_trials.tables import table_of
from server.app import open_services
from server.dependencies import Services
from server.services.imports import ScoreImports
from server.services.season_report import SeasonReports
from server.settings import Settings
from shared_models.score_table.ground import Asked
from shared_models.score_table.planning import ImportPlan
from shared_models.score_table.reading import read_score_table
from shared_models.season.report_parts import MixRate, SeasonReport

REFERENCE = Path(__file__).parents[1] / "reference" / "stats_checks.json"


@dataclass
class ImportedTrial:
    """A group with one trial in it."""

    services: Services
    group: str
    table: str
    asked: Asked

    def again(self, table: str | None = None) -> ImportPlan:
        """Import the table once more, or a corrected one; returns what was written."""
        imports = ScoreImports(self.services.database, self.group)
        return imports.write(read_score_table(table or self.table), self.asked)

    def report(self) -> SeasonReport:
        """The season report, as the server makes it."""
        assert self.asked.season is not None
        return SeasonReports(self.services.database, self.group).report(self.asked.season)

    def mix(self, key: str) -> MixRate:
        """One line of the season table."""
        [found] = [line for line in self.report().mixes if line.mix.key == key]
        return found

    def counts(self) -> dict[str, list[tuple[float, float]]]:
        """Damaged and scored of every tree, by mix."""
        return {
            line.mix.key: sorted((share.damaged, share.scored) for share in line.trees)
            for line in self.report().mixes
        }


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """A server's services on a SQLite file."""
    opened = open_services(Settings(data=tmp_path))
    yield opened
    opened.database.close()


@pytest.fixture
def imported(services: Services) -> Callable[[str, str], ImportedTrial]:
    """Imports a trial into a new group, for a season."""

    def import_trial(trial: str, season: str) -> ImportedTrial:
        group = services.connecting.make_group(trial).id
        made = ImportedTrial(services, group, table_of(trial), Asked(garden="Trial field", season=season))
        assert made.again().bad == []
        return made

    return import_trial


@pytest.fixture(scope="session")
def checks() -> dict[str, dict[str, Any]]:
    """The reference checks by id; where each comes from stands in it."""
    return {check["id"]: check for check in json.loads(REFERENCE.read_text(encoding="utf-8"))}

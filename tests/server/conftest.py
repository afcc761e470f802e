"""Fixtures of the server's tests: a running server on SQLite, or on both databases one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from server.database.members import Group
    from server.settings import Settings
    from tests.server.running import Caller, RunningServer

BOTH = ["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.needs_postgres)]


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings of a server on a SQLite file."""
    from server.settings import Settings

    return Settings(data=tmp_path / "data")


@pytest.fixture(params=BOTH)
def either_settings(request: pytest.FixtureRequest, tmp_path: Path) -> Settings:
    """Settings of a server, once on each database."""
    from server.settings import Settings

    if request.param == "SQLite":
        return Settings(data=tmp_path / "data")
    url = request.getfixturevalue("postgres").new_database()
    return Settings(data=tmp_path / "data", database_url=url)


@pytest.fixture
def server(settings: Settings) -> Iterator[RunningServer]:
    """A running server on a SQLite file."""
    yield from _running(settings)


@pytest.fixture
def either_server(either_settings: Settings) -> Iterator[RunningServer]:
    """A running server, once on each database."""
    yield from _running(either_settings)


@pytest.fixture
def hill(server: RunningServer) -> Group:
    """A group."""
    return server.group()


@pytest.fixture
def keeper(server: RunningServer, hill: Group) -> Caller:
    """A keeper's phone of that group."""
    return server.caller(hill)


def _running(settings: Settings) -> Iterator[RunningServer]:
    from tests.server.running import RunningServer

    running = RunningServer(settings)
    running.start()
    yield running
    running.stop()

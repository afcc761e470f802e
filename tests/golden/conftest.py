"""Fixtures of the golden logs: an empty server on each database."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.contracts.stores import ServerStore

BOTH = ["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.needs_postgres)]


@pytest.fixture(params=BOTH)
def server(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[ServerStore]:
    """A group on an empty server; imported late, since a phone does not carry the server."""
    from tests.contracts.stores import server_store

    on_sqlite = f"sqlite:///{tmp_path / 'server.sqlite'}"
    url = on_sqlite if request.param == "SQLite" else request.getfixturevalue("postgres").new_database()
    with server_store(url) as store:
        yield store

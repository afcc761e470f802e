"""Fixtures of the shared core: an empty database of either kind."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, create_engine

from shared_models.store.tables import SHARED_TABLES


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.needs_postgres)])
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """An empty database with the shared tables: a SQLite file, and one on the private PostgreSQL."""
    if request.param == "sqlite":
        made = create_engine(f"sqlite:///{tmp_path}/shared.db")
    else:
        made = create_engine(request.getfixturevalue("postgres").new_database())
    for table in SHARED_TABLES:
        table.create(made)
    yield made
    made.dispose()


@pytest.fixture
def connection(engine: Engine) -> Iterator[Connection]:
    """One transaction on it."""
    with engine.begin() as opened:
        yield opened

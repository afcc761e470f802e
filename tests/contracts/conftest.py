"""Fixtures of the contracts: each store in turn, empty."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.contracts.stores import StoreOfEntries

STORES = (
    "phone",
    "server on SQLite",
    pytest.param("server on PostgreSQL", marks=pytest.mark.needs_postgres),
)


@pytest.fixture(params=STORES)
def new_store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], StoreOfEntries]]:
    """Makes an empty store of the kind that is tested, as often as asked."""
    from tests.contracts.stores import phone_store, server_store

    with ExitStack() as opened:

        def make() -> StoreOfEntries:
            folder = tmp_path / str(len(list(tmp_path.iterdir())))
            folder.mkdir()
            if request.param == "phone":
                return opened.enter_context(phone_store(folder))
            if request.param == "server on SQLite":
                return opened.enter_context(server_store(f"sqlite:///{folder / 'server.sqlite'}"))
            return opened.enter_context(server_store(request.getfixturevalue("postgres").new_database()))

        yield make


@pytest.fixture
def fresh_store(new_store: Callable[[], StoreOfEntries]) -> StoreOfEntries:
    """An empty store."""
    return new_store()

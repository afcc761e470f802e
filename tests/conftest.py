"""Fixtures for all tests; imports nothing at the top that a phone does not have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.postgres import PrivatePostgres


@pytest.fixture(scope="session")
def postgres() -> Iterator[PrivatePostgres]:
    """A real PostgreSQL of this test process, started when the first test asks for it."""
    from tests.postgres import PrivatePostgres

    with PrivatePostgres() as server:
        yield server

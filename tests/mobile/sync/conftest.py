"""Fixtures for the exchange: a group on a real server."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

collect_ignore = [
    "group.py"
]  # no tests or doctests inside, and it imports the server, which a phone does not carry


@pytest.fixture
def group(tmp_path: Path) -> Iterator[Group]:
    """A group on a server of its own; imported late, since a phone does not carry the server."""
    from tests.mobile.sync.group import Group

    group = Group(tmp_path / "server" / "server.sqlite")
    yield group
    group.database.close()

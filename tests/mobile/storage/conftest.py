"""Fixtures of damaged files: a phone that was stopped amid its work, whole, to be spoilt."""

from pathlib import Path

import pytest

from tests.mobile.storage.damage import Stopped, stopped_phone


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Stopped:
    """A stopped phone that nobody spoilt; copied before use."""
    return stopped_phone(tmp_path_factory.mktemp("phone"))


@pytest.fixture
def stopped(whole: Stopped, tmp_path: Path) -> Stopped:
    """The same, to be spoilt."""
    return whole.in_folder(tmp_path / "stopped")

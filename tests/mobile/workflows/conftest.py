"""A garden with trees and traps, on a phone whose clock is set."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.traps import hang_trap
from mobile.workflows.trees import add_row
from shared_models.seasons import Hemisphere


@pytest.fixture
def garden(phone: PhoneStore) -> str:
    """A garden in the north."""
    return name_garden(phone, "Lower garden", Hemisphere.NORTH).garden


@pytest.fixture
def row(phone: PhoneStore, garden: str) -> tuple[str, ...]:
    """Twelve trees in a row, labelled 1 to 12."""
    return add_row(phone, garden, 12, cultivar="Early Red").trees


@pytest.fixture
def tree(row: tuple[str, ...]) -> str:
    """The seventh tree of the row."""
    return row[6]


@pytest.fixture
def trap(phone: PhoneStore, garden: str) -> str:
    """A trap that hangs since May."""
    return hang_trap(phone, "1", garden, since=date(2026, 5, 1)).trap

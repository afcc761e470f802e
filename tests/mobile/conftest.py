"""Fixtures for everything on the phone."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from tests.mobile.phones import Phones, SetClock


@pytest.fixture
def phones(tmp_path: Path) -> Iterator[Phones]:
    """A place where phones are opened; all are closed at the end."""
    phones = Phones(tmp_path)
    yield phones
    phones.close()


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands until it is moved."""
    return SetClock()


@pytest.fixture
def phone(phones: Phones, clock: SetClock) -> PhoneStore:
    """A phone after its first start."""
    return phones.begun(clock=clock)


@pytest.fixture
def neighbour(phones: Phones, clock: SetClock) -> PhoneStore:
    """Another phone of the group, set up and empty."""
    return phones.begun("neighbour.db", clock)

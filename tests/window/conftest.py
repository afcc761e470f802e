"""One real window for all tests of a process; every test gets it empty and leaves it empty."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.window import offscreen

if TYPE_CHECKING:
    from tests.window.phone import Phone

os.environ["LP_NUM_THREADS"] = (
    "0"  # several processes draw at once: a renderer's own threads would only be in the way
)
offscreen.prepare()  # before any test module of this folder imports Kivy's window


@pytest.fixture(scope="session")
def only_phone() -> Phone:
    """The window itself, opened once."""
    from tests.window.phone import Phone

    return Phone()


@pytest.fixture
def phone(only_phone: Phone) -> Iterator[Phone]:
    """A phone with nothing open that looks as phones come; whatever the test opens is closed after it."""
    from mobile.theme import take_look

    take_look({"scheme": "sun", "type_size": 1.0, "keys_left": False})
    yield only_phone
    only_phone.close()

"""The few words of the top line, of a phone that shares with a group."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.workflows.sharing_line import sharing_line
from tests.mobile.phones import SetClock

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server


def test_the_line_tells_what_is_not_shared_and_when_all_was(
    group: Group, phone: PhoneStore, clock: SetClock
) -> None:
    door = group.connect(phone)
    assert sharing_line(phone) == "1 not shared"
    exchange(phone, door)
    assert sharing_line(phone) == "all shared 10:00"
    clock.move(days=2)
    assert sharing_line(phone) == "all shared Saturday 12 September"

"""When a copy is asked for: weekly while something is recorded that is nowhere else, and not otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.copies import make_copy
from mobile.workflows.copy_reminder import copy_reminder, not_put_off, put_off
from mobile.workflows.device_choices import choose
from mobile.workflows.today import today_view
from tests.mobile.pages import oldest_first, page
from tests.mobile.phones import SetClock, mark, picking_visit
from tests.mobile.storage.test_copies import joined


@pytest.fixture
def visit(phone: PhoneStore) -> str:
    """A picking visit."""
    return picking_visit(phone)


def said(phone: PhoneStore) -> str:
    """The reminder, empty where there is none; Today shows the same."""
    found = copy_reminder(phone)
    assert today_view(phone).copy == found
    return found.sentence if found else ""


def test_a_phone_alone_is_asked_for_its_first_copy_after_a_week(
    phone: PhoneStore, visit: str, clock: SetClock
) -> None:
    clock.move(days=7)
    assert said(phone) == ""
    clock.move(minutes=1)
    assert said(phone) == "4 records are on this phone only. No copy was made yet."


def test_then_once_a_week_while_something_is_recorded(
    phone: PhoneStore, visit: str, clock: SetClock, tmp_path: Path
) -> None:
    clock.move(days=20)
    make_copy(phone, str(tmp_path))
    mark(phone, visit)
    assert said(phone) == ""
    clock.move(days=7)
    assert said(phone) == ""
    clock.move(minutes=1)
    assert said(phone) == "1 record is on this phone only. The last copy is of Friday 2 October."
    make_copy(phone, str(tmp_path))
    assert said(phone) == ""


def test_where_nothing_was_recorded_since_nothing_is_asked(
    phone: PhoneStore, visit: str, clock: SetClock, tmp_path: Path
) -> None:
    make_copy(phone, str(tmp_path))
    clock.move(days=150)
    assert said(phone) == ""
    mark(phone, visit)
    assert said(phone).startswith("1 record is on this phone only.")


def test_it_is_put_off_for_a_week_and_back(phone: PhoneStore, visit: str, clock: SetClock) -> None:
    clock.move(days=8)
    put_off(phone)
    assert said(phone) == ""
    not_put_off(phone)
    assert said(phone)
    put_off(phone)
    clock.move(days=6)
    assert said(phone) == ""
    clock.move(days=1)
    assert said(phone)


def test_whoever_does_not_want_it_is_never_asked(phone: PhoneStore, visit: str, clock: SetClock) -> None:
    choose(phone, remind_of_copies=False)
    clock.move(days=400)
    assert said(phone) == ""


def test_in_a_group_only_what_was_not_shared_for_a_week_asks(
    phone: PhoneStore, visit: str, clock: SetClock
) -> None:
    joined(phone, "a", "Hillside (invented)")
    phone.incoming.take(page(oldest_first(phone)))
    clock.move(days=30)
    assert said(phone) == ""
    mark(phone, visit)
    clock.move(days=7)
    assert said(phone) == ""
    clock.move(days=1)
    assert said(phone) == "1 record has not been shared for more than a week. No copy was made yet."

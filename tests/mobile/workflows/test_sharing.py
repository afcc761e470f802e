"""How sharing stands, in words, and what an exchange came to."""

from datetime import timedelta

import pytest

from mobile.storage.outbox import Waits
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import ExchangeOutcome
from mobile.workflows import sharing
from mobile.workflows.sharing import outcome_in_words, sharing_view
from mobile.workflows.trees import add_row
from shared_models.records.gardens import Garden


def test_a_phone_alone_says_how_much_is_on_it_only(phone: PhoneStore) -> None:
    garden = phone.record(Garden.kind, {"name": "Hill", "hemisphere": "north"})
    add_row(phone, garden, 3)
    view = sharing_view(phone)
    assert not view.connected and view.needs_a_look == []
    waiting = phone.sharing().waiting
    assert view.standing == [f"{waiting} records are on this phone only. Everything works without a group."]


@pytest.mark.parametrize(
    ("outcome", "said"),
    [
        (ExchangeOutcome(0, 0, 0, 0, 0), "0 records shared. 0 new from others."),
        (ExchangeOutcome(1, 0, 0, 0, 1), "1 record shared. 1 new from others."),
        (ExchangeOutcome(5, 1, 0, 1, 0), "5 records shared. 0 new from others. 2 need a look."),
    ],
)
def test_what_an_exchange_came_to(outcome: ExchangeOutcome, said: str) -> None:
    assert outcome_in_words(outcome) == said


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (timedelta(minutes=3), "This phone’s clock is 3 minutes ahead; set it right."),
        (-timedelta(hours=5, minutes=50), "This phone’s clock is 5 hours behind; set it right."),
        (-timedelta(days=174), "This phone’s clock is 174 days behind; set it right."),
    ],
)
def test_a_clock_that_is_off_is_told_in_a_unit_that_can_be_read(by: timedelta, said: str) -> None:
    assert outcome_in_words(ExchangeOutcome(0, 0, 0, 0, 0, by)).endswith(said)


def test_every_reason_to_look_says_what_to_do() -> None:
    assert set(sharing._TO_DO) == set(Waits) - {Waits.WAITING}

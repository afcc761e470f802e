"""Flight notices: told on every phone of a group once entries say so, muted by each person for themselves."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.flight_notices import is_muted, mute_flight, put_away, put_back
from mobile.workflows.timing import set_timing
from mobile.workflows.today import today_view
from shared_models.calculations.biofix import Rule
from tests.mobile.phones import SetClock
from tests.mobile.workflows.exchanges import hears

SENTENCE = (
    "Lower garden: flight in the traps, 2026-05-07 to 2026-05-11. Rule: enough moths in all traps together, never the "
    "first alone. Catch times the flight; it does not measure damage."
)


@pytest.fixture
def caught(phone: PhoneStore, trap: str, clock: SetClock) -> str:
    """Three moths in a trap of the garden."""
    clock.time = datetime(2026, 5, 12, 20, tzinfo=ZoneInfo("Europe/Rome"))
    for day, moths in ((4, 0), (7, 1), (11, 2)):
        phone.record(
            "trap_visit", {"trap": trap, "when": f"2026-05-{day:02d}", "state": "counted", "moths": moths}
        )
    return trap


def told(phone: PhoneStore) -> list[str]:
    return [one.sentence for one in today_view(phone).notices]


def test_another_phone_is_told_where_when_and_by_which_rule_at_its_next_exchange(
    phone: PhoneStore, neighbour: PhoneStore, caught: str
) -> None:
    assert told(neighbour) == []
    hears(neighbour, phone)
    assert told(neighbour) == told(phone) == [SENTENCE]


def test_one_person_mutes_it_and_the_others_do_not(
    phone: PhoneStore, neighbour: PhoneStore, caught: str
) -> None:
    hears(neighbour, phone)
    mute_flight(neighbour)
    hears(phone, neighbour)
    assert is_muted(neighbour) and told(neighbour) == []
    assert not is_muted(phone) and told(phone) == [SENTENCE]
    mute_flight(neighbour, False)
    assert told(neighbour) == [SENTENCE]


def test_what_was_put_away_comes_back_only_with_other_days(phone: PhoneStore, caught: str) -> None:
    put_away(phone, today_view(phone).notices[0])
    assert told(phone) == []
    phone.record("trap_visit", {"trap": caught, "when": "2026-05-09", "state": "counted", "moths": 5})
    assert told(phone) == [SENTENCE.replace("2026-05-11", "2026-05-09")]


def test_what_was_put_away_is_put_back(phone: PhoneStore, caught: str) -> None:
    (notice,) = today_view(phone).notices
    put_away(phone, notice)
    put_back(phone, notice)
    assert told(phone) == [SENTENCE]


def test_old_news_and_days_set_by_hand_are_no_notice(
    phone: PhoneStore, garden: str, caught: str, clock: SetClock
) -> None:
    clock.move(days=30)
    assert told(phone) == []
    clock.move(days=-30)
    set_timing(phone, garden, rule=Rule.BY_HAND, biofix=date(2026, 5, 8).isoformat())
    assert told(phone) == []


def test_a_notice_names_no_product_and_no_method(phone: PhoneStore, caught: str) -> None:
    words = " ".join(told(phone)).casefold()
    assert not any(word in words for word in ("spray", "oil", "virus", "insecticide", "treat"))

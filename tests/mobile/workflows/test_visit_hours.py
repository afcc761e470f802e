"""How long a visit ran, and mending it."""

from datetime import time

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.history import versions
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.visit_hours import clock_time, hours_as_now, hours_of, mend_hours, open_again
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.tallies import Pick, Visit
from shared_models.vocabulary import Fruit
from tests.mobile.phones import SetClock


def begun(phone: PhoneStore, tree: str) -> str:
    """A bagging visit with ten bags."""
    visit = BaggingRound(phone).open(tree).ten().at.visit
    assert visit is not None
    return visit


def test_hours_run_from_the_first_touch_less_the_pauses(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    assert hours_of(phone, None) is None
    visit = BaggingRound(phone).open(tree)
    visit.ten()
    clock.move(minutes=85)
    visit.pause(20)
    hours = hours_of(phone, visit.visit)
    assert hours is not None
    assert (hours.began, hours.minutes, hours.pause_minutes, hours.running) == ("10:00", 65, 20, True)
    assert hours.sentence == together("Since 10:00: 1 h 5 min. Pauses of 20 min are taken out.")
    visit.done()
    clock.move(minutes=30)
    ended = hours_of(phone, visit.visit)
    assert ended is not None and (ended.minutes, ended.running) == (65, False)


def test_a_visit_told_of_a_day_has_no_hours(phone: PhoneStore, tree: str) -> None:
    visit = BaggingRound(phone, Told(when="2026-06-10")).open(tree)
    visit.ten()
    hours = hours_of(phone, visit.visit)
    assert hours is not None and hours.minutes is None and hours.sentence == "Hours not known."


def test_the_beginning_is_mended_and_the_earlier_one_stays_readable(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = begun(phone, tree)
    clock.move(minutes=10)
    hours = mend_hours(phone, visit, began=time(9, 15), pause_minutes=5)
    assert (hours.began, hours.minutes) == ("09:15", 50)
    assert len(versions(phone, visit)) == 2


def test_a_beginning_after_the_end_is_refused(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    walk = BaggingRound(phone).open(tree)
    walk.ten()
    walk.done()
    clock.move(hours=2)
    with pytest.raises(BadInputError, match="ended at 10:00"):
        mend_hours(phone, str(walk.visit), began=time(11, 0))


def test_a_pause_longer_than_the_visit_is_refused(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    visit = begun(phone, tree)
    clock.move(minutes=30)
    with pytest.raises(BadInputError, match="longer than the visit itself"):
        mend_hours(phone, visit, pause_minutes=31)
    assert mend_hours(phone, visit, pause_minutes=30).minutes == 0


def test_a_visit_of_another_day_is_mended_in_the_history(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = begun(phone, tree)
    clock.move(days=1)
    with pytest.raises(BadInputError, match="not of today"):
        mend_hours(phone, visit, began=time(9, 0))


def test_a_pick_moves_with_its_visit(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.score(Fruit.CLEAN)
    mend_hours(phone, str(visit.visit), began=time(9, 0))
    (pick,) = phone.all(Pick)
    assert pick.when == "2026-09-12T09:00:00+02:00"


def test_an_ended_visit_is_opened_again(phone: PhoneStore, tree: str) -> None:
    walk = BaggingRound(phone).open(tree)
    walk.ten()
    walk.done()
    open_again(phone, str(walk.visit))
    assert [visit.ended for visit in phone.all(Visit)] == [None]


@pytest.mark.parametrize(("typed", "read"), [("9:05", time(9, 5)), ("09.05", time(9, 5)), (" ", None)])
def test_a_time_is_read_as_it_is_typed(typed: str, read: time | None) -> None:
    assert clock_time(typed) == read


@pytest.mark.parametrize("typed", ["25:00", "9", "noon", "9:7"])
def test_what_is_no_time_is_told(typed: str) -> None:
    with pytest.raises(BadInputError, match="no time of day"):
        clock_time(typed)


def test_mended_hours_are_put_back_as_they_were(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    visit = begun(phone, tree)
    clock.move(minutes=50)
    before, put_back = hours_of(phone, visit), hours_as_now(phone, visit)
    put_back(phone)
    assert len(versions(phone, visit)) == 1  # nothing to put back, nothing written
    mend_hours(phone, visit, began=time(9, 15), pause_minutes=5)
    put_back(phone)
    assert hours_of(phone, visit) == before and len(versions(phone, visit)) == 3

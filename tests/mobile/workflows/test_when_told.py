"""What *when?* takes: typed days, seasons to choose from, and a visit that is given its moment after it was begun."""

from datetime import date, datetime

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.history import versions
from mobile.workflows.moments import NOT_KNOWN, NOW, Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from mobile.workflows.tree_visit import TreeVisit
from mobile.workflows.when_told import (
    answer_to,
    day_typed,
    offered,
    seasons_to_choose,
    tell_when,
    told_in_words,
)
from shared_models.errors import BadInputError
from shared_models.records.tallies import Pick, Visit
from shared_models.records.traps import TrapVisit
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit
from tests.mobile.phones import SUMMER, Phones, SetClock


def test_an_hour_ago_is_offered_and_just_after_midnight_the_day_s_begin(
    phone: PhoneStore, clock: SetClock
) -> None:
    clock.time = datetime(2026, 6, 4, 9, 13, tzinfo=SUMMER)
    first = offered(phone)
    assert (first.now, first.hour, first.minute) == ("09:13", 8, 10)
    clock.time = datetime(2026, 6, 4, 0, 20, tzinfo=SUMMER)
    assert (offered(phone).hour, offered(phone).minute) == (0, 0)
    assert (offered(phone).yesterday, offered(phone).week_ago) == (date(2026, 6, 3), date(2026, 5, 28))


def test_a_day_is_typed_as_year_month_day() -> None:
    assert day_typed(" 2026-5-7 ") == date(2026, 5, 7)
    for text in ("2026-02-30", "7 May", "", "26-5-7"):
        with pytest.raises(BadInputError, match="is no day"):
            day_typed(text)


def test_seasons_are_asked_for_only_where_the_moment_does_not_tell(phone: PhoneStore, garden: str) -> None:
    where = {"garden": garden}
    assert seasons_to_choose(phone, "2026-05-01", where) == ()
    assert seasons_to_choose(phone, NOT_KNOWN, where) == ("2026", "2025")
    assert seasons_to_choose(phone, "2025-12-30/2026-01-03", where) == ("2026", "2025")


def test_gardens_of_both_halves_of_the_earth_ask_for_no_season(phone: PhoneStore, garden: str) -> None:
    southern = name_garden(phone, "Cape", Hemisphere.SOUTH).garden
    assert seasons_to_choose(phone, NOT_KNOWN, {}) == ()
    assert seasons_to_choose(phone, NOT_KNOWN, {"garden": southern}) == ("2026/27", "2025/26")


def test_answers_are_told_in_words(phone: PhoneStore, garden: str) -> None:
    assert told_in_words(NOW) == "now"
    assert told_in_words(Told(NOT_KNOWN, season="2025")) == "day not known, season 2025"
    assert answer_to(phone, Told("2026-09-11"), {"garden": garden}).in_words == "Friday 11 September"
    with pytest.raises(BadInputError, match="still to come"):
        answer_to(phone, Told("2026-09-13"))


def test_a_visit_that_is_told_goes_on_until_it_is_ended(phone: PhoneStore, trap: str, tree: str) -> None:
    told = Told("2026-09-10")
    TrapRound(phone).open(trap, told).plus_one()
    at_trap = TrapRound(phone).open(trap, told)
    assert at_trap.plus_one().number == 2
    at_trap.done()
    assert TrapRound(phone).open(trap, told).view.number is None
    first = TreeVisit(phone, tree, told)
    first.ladder_used()
    assert TreeVisit(phone, tree, told).visit == first.visit
    assert TreeVisit(phone, tree, Told("2026-09-09")).visit is None
    first.end()
    assert TreeVisit(phone, tree, told).visit is None


def test_the_next_trap_is_the_one_not_reached_on_the_day_that_is_told(
    phone: PhoneStore, trap: str, garden: str
) -> None:
    second = hang_trap(phone, "2", garden, since=date(2026, 5, 1)).trap
    TrapRound(phone).open(second).none()  # today
    at_trap = TrapRound(phone).open(trap, Told("2026-09-10"))
    at_trap.none()
    after = at_trap.done().next_trap
    assert after is not None and after.trap == second


def test_a_begun_count_that_is_moved_follows_what_came_before_it_there(phone: PhoneStore, trap: str) -> None:
    visits = []
    for day in ("2026-09-01", "2026-09-08"):
        hand = TrapRound(phone).open(trap, Told(day))
        visits.append(hand.number(3).visit)
        hand.done()
    now_here = TrapRound(phone).open(trap)
    visit = now_here.number(5).visit
    assert visit is not None
    before = tell_when(phone, visit, Told("2026-09-05"))
    moved = phone.get(TrapVisit, visit)
    assert moved is not None and (moved.when, moved.previous) == ("2026-09-05", visits[0])
    tell_when(phone, visit, before)
    back = phone.get(TrapVisit, visit)
    assert back is not None and back.when == "2026-09-12T10:00:00+02:00" and back.previous == visits[1]
    assert [one.reason for one in versions(phone, visit)][1:] == [
        "The time was told after the first touch."
    ] * 2


def test_a_begun_pick_is_moved_with_its_visit(phone: PhoneStore, tree: str) -> None:
    at_tree = PickingVisit(phone, tree)
    at_tree.score(Fruit.CLEAN)
    assert at_tree.visit is not None
    tell_when(phone, at_tree.visit, Told(NOT_KNOWN, season="2025"))
    (visit,), (pick,) = phone.all(Visit), phone.all(Pick)
    assert (visit.when, visit.season) == (pick.when, pick.season) == (NOT_KNOWN, "2025")


def test_what_is_not_here_is_given_no_moment(phone: PhoneStore, garden: str, phones: Phones) -> None:
    for rec in (garden, "0190b5b0-0000-7000-8000-000000000000"):
        with pytest.raises(BadInputError, match="not on this phone"):
            tell_when(phone, rec, Told("2026-09-05"))

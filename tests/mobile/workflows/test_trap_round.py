"""At the trap: numbers that survive anything, who counted what, and what each count adds."""

from collections.abc import Callable
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import Told, now
from mobile.workflows.season import report_of
from mobile.workflows.today import go_on
from mobile.workflows.trap_round import TrapAtHand, TrapRound, TrapView
from mobile.workflows.traps import hang_trap, move_trap
from shared_models.errors import BadInputError
from shared_models.records.traps import TrapVisit
from shared_models.report_text import as_text
from shared_models.vocabulary import CountMode, TrapState
from tests.mobile.phones import Phones, SetClock
from tests.mobile.workflows.exchanges import hears


def counted(phone: PhoneStore, trap: str, moths: int, **told: str) -> str:
    """A finished visit with a number; returns the visit."""
    at_trap = TrapRound(phone).open(trap, Told(**told))
    visit = at_trap.number(moths).visit
    at_trap.done()
    assert visit is not None
    return visit


def test_standing_before_a_trap_records_nothing(phone: PhoneStore, trap: str) -> None:
    view = TrapRound(phone).open(trap).view
    assert (view.number, view.visit, view.state) == (None, None, None)
    assert phone.all(TrapVisit) == []


def test_every_touch_is_on_the_one_record_of_the_visit(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    assert [at_trap.plus_one().number for _ in range(5)] == [1, 2, 3, 4, 5]
    assert at_trap.minus_one().number == 4
    assert at_trap.number(40).number == 40
    (visit,) = phone.all(TrapVisit)
    assert (visit.moths, visit.state, visit.ended) == (40, TrapState.COUNTED, None)
    assert [entry.f["moths"] for entry in phone.entries_of(visit.rec)] == [1, 2, 3, 4, 5, 4, 40]


def test_a_count_broken_off_goes_on_where_it_was(
    phones: Phones, clock: SetClock, phone: PhoneStore, trap: str
) -> None:
    TrapRound(phone).open(trap).number(6)
    phone.close()
    again = phones.open(clock=clock)
    assert TrapRound(again).open(trap).plus_one().number == 7
    assert len(again.all(TrapVisit)) == 1


def test_none_is_a_count_and_lost_is_not(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    at_trap = TrapRound(phone).open(trap)
    assert at_trap.none().number == 0 and phone.all(TrapVisit)[0].counted
    view = at_trap.not_counted(TrapState.LOST)
    assert view.state is TrapState.LOST and view.catch is None and not phone.all(TrapVisit)[0].counted
    assert at_trap.plus_one().state is TrapState.COUNTED


def test_one_less_than_none_stays_none_and_says_so(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.none()
    view = at_trap.minus_one()
    assert view.number == 0 and view.notes == ("The number is none already.",)
    assert len(phone.entries_of(phone.all(TrapVisit)[0].rec)) == 1


@pytest.mark.parametrize("moths", [-1, 100_001, 10**400])
def test_a_number_that_cannot_be_is_refused_and_the_count_so_far_is_kept(
    phone: PhoneStore, trap: str, moths: int
) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(3)
    with pytest.raises(BadInputError) as refused:
        at_trap.number(moths)
    assert refused.value.field == "moths" and str(refused.value).endswith(".")
    assert at_trap.view.number == 3


def test_very_many_moths_are_kept_and_doubted(phone: PhoneStore, trap: str) -> None:
    view = TrapRound(phone).open(trap).number(900)
    assert view.number == 900 and [doubt.field for doubt in view.doubts] == ["moths"]


def test_all_on_the_liner_takes_the_last_count_off(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    first = TrapRound(phone).open(trap)
    first.count_as(CountMode.ON_LINER)
    first.number(10)
    first.done()
    clock.move(days=5)
    second = TrapRound(phone).open(trap)
    assert second.view.mode is CountMode.ON_LINER  # the last answer is offered first
    view = second.number(17)
    assert (view.on_liner_before, view.catch, view.days_since) == (10, 7, 5)
    assert view.per_trap_week == pytest.approx(9.8)  # 7 moths in 5 days
    second.emptied()
    second.done()
    clock.move(days=2)
    assert TrapRound(phone).open(trap).number(4).catch == 4


def test_new_since_last_visit_counts_itself(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    counted(phone, trap, 3)
    clock.move(days=10)
    view = TrapRound(phone).open(trap).number(4)
    assert view.catch == 4 and view.per_trap_week == pytest.approx(2.8)


def test_the_last_visits_stand_with_their_dates_newest_first(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    for moths in (0, 2, 9):
        counted(phone, trap, moths)
        clock.move(days=3)
    past = TrapRound(phone).open(trap).view.last
    assert [(one.moths, one.in_words) for one in past] == [
        (9, "Friday 18 September, 10:00"),
        (2, "Tuesday 15 September, 10:00"),
        (0, "Saturday 12 September, 10:00"),
    ]


def test_each_visit_names_the_one_that_was_known_before_it(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    first = counted(phone, trap, 1)
    clock.move(days=3)
    second = counted(phone, trap, 2)
    found = {visit.rec: visit.previous for visit in phone.all(TrapVisit)}
    assert found == {first: None, second: first}


def test_a_second_visit_on_one_day_says_who_counted_what(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    counted(phone, trap, 9)
    clock.move(hours=4)
    at_trap = TrapRound(phone).open(trap)
    assert at_trap.view.same_day == ("Keeper of phone.db at 10:00: 9 new",)
    assert at_trap.view.question == "This trap was counted already today. Are all of these new since 10:00?"
    at_trap.count_as(CountMode.NEW)
    assert at_trap.number(2).catch == 2
    assert len(phone.all(TrapVisit)) == 2


def test_two_phones_that_counted_the_same_moths_are_shown_both_and_counted_once(
    phone: PhoneStore, neighbour: PhoneStore, trap: str, clock: SetClock
) -> None:
    counted(phone, trap, 0)
    hears(neighbour, phone)
    clock.move(days=4)
    counted(phone, trap, 9)
    clock.move(minutes=30)
    counted(neighbour, trap, 9)
    hears(phone, neighbour)
    (line,) = report_of(phone, "2026").traps
    assert [visit.catch for visit in line.visits] == [0, 9, 0]
    assert [warned.code for warned in report_of(phone, "2026").warnings if warned.code == "DOUBLE_COUNT"]


def test_a_visit_entered_two_weeks_late_asks_about_the_count_after_it(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    counted(phone, trap, 1, when="2026-08-20")
    later = counted(phone, trap, 5, when="2026-09-03")
    forgotten = TrapRound(phone).open(trap, Told(when="2026-08-28"))
    view = forgotten.number(4)
    assert view.overlaps is not None and "Thursday 3 September" in view.overlaps
    assert [one.moths for one in view.last] == [1]
    view = forgotten.later_count_is_since_this_one()
    assert view.overlaps is None
    assert phone.get(TrapVisit, later).previous == view.visit  # type: ignore[union-attr]
    (line,) = report_of(phone, "2026").traps
    assert [(visit.catch, visit.double_of) for visit in line.visits] == [(1, None), (4, None), (5, None)]


def test_the_decision_about_a_later_count_is_taken_back_alone(phone: PhoneStore, trap: str) -> None:
    first = counted(phone, trap, 1, when="2026-08-28")
    later = counted(phone, trap, 5, when="2026-09-03")
    forgotten = TrapRound(phone).open(trap, Told("2026-09-01"))
    before = forgotten.number(4)
    decided = forgotten.later_count_is_since_this_one()
    forgotten.plus_one()
    assert forgotten.take_back(decided).overlaps is None  # another touch leaves the decision as it is
    assert phone.get(TrapVisit, later).previous == decided.visit  # type: ignore[union-attr]
    assert forgotten.take_back(before).overlaps is not None
    assert phone.get(TrapVisit, later).previous == first  # type: ignore[union-attr]


def test_males_females_and_the_load_of_a_lure_are_shown_and_taken_back(phone: PhoneStore, trap: str) -> None:
    hand = TrapRound(phone).open(trap)
    before = hand.number(4)
    hand.new_lure("1x", 1.5)
    view = hand.sexed(3, 1)
    assert (view.males, view.females, view.new_lure, view.lure_load_mg) == (3, 1, "1x", 1.5)
    view = hand.take_back(before)
    assert (view.males, view.females, view.new_lure, view.lure_load_mg) == (None, None, None, None)


def test_a_late_visit_has_no_duration(phone: PhoneStore, trap: str) -> None:
    counted(phone, trap, 4, when="2026-08-28")
    assert phone.all(TrapVisit)[0].ended == "2026-08-28"


def test_done_goes_on_in_walking_order_past_those_reached_today(
    phone: PhoneStore, garden: str, trap: str
) -> None:
    second, third = hang_trap(phone, "2", garden).trap, hang_trap(phone, "3", garden).trap
    walk = TrapRound(phone)

    def after(trap: str) -> str | None:
        at_trap = walk.open(trap)
        at_trap.none()
        next_trap = at_trap.done().next_trap
        return next_trap.label if next_trap else None

    assert after(second) == "3"
    assert after(third) == "1"
    assert after(trap) is None


def test_done_without_a_word_about_the_trap_is_refused(phone: PhoneStore, trap: str) -> None:
    with pytest.raises(BadInputError, match="Nothing is recorded for this trap yet"):
        TrapRound(phone).open(trap).done()


def test_a_full_liner_is_said_until_it_is_changed(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    counted(phone, trap, 20)
    clock.move(days=3)
    at_trap = TrapRound(phone).open(trap)
    assert at_trap.number(9).notes == ()
    assert "30 moths since the last new liner" in at_trap.number(10).notes[0]
    assert at_trap.new_liner().notes == ()


def test_a_new_lure_keeps_its_type_and_load(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.none()
    assert at_trap.new_lure("long-life", 10).new_lure == "long-life"
    at_trap.done()
    clock.move(days=40)
    assert TrapRound(phone).open(trap).new_lure().new_lure == "long-life"  # the type that was used last
    assert [visit.lure_load_mg for visit in phone.all(TrapVisit)] == [10, None]


def test_more_sexed_than_counted_is_kept_and_doubted(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(5)
    assert at_trap.sexed(4, 1).doubts == ()
    assert [doubt.field for doubt in at_trap.sexed(4, 3).doubts] == ["males"]


def test_days_are_days_of_the_garden_over_a_change_of_clocks(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    clock.time = datetime(2026, 10, 24, 23, 30, tzinfo=ZoneInfo("Europe/Rome"))
    counted(phone, trap, 1)
    clock.time = datetime(2026, 10, 25, 23, 15, tzinfo=ZoneInfo("Europe/Rome"))  # 24 h 45 min later
    view = TrapRound(phone).open(trap).plus_one()
    assert view.days_since == 1 and now(phone).endswith("+01:00")


def test_a_visit_undone_meanwhile_is_begun_anew_by_the_next_touch(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    first = at_trap.number(7).visit
    assert first is not None
    phone.undo(first)
    view = at_trap.plus_one()
    assert view.number == 1 and view.visit != first
    assert [visit.moths for visit in phone.all(TrapVisit)] == [1]


def test_go_on_opens_the_trap_with_its_number(phone: PhoneStore, trap: str) -> None:
    visit = TrapRound(phone).open(trap).number(4).visit
    assert visit is not None
    again = go_on(phone, visit)
    assert isinstance(again, TrapAtHand) and again.view.number == 4


@pytest.mark.parametrize("touch", [TrapAtHand.new_liner, TrapAtHand.emptied, TrapAtHand.new_lure])
def test_a_liner_or_lure_changed_without_a_number_is_no_count(
    phone: PhoneStore, trap: str, clock: SetClock, touch: Callable[[TrapAtHand], TrapView]
) -> None:
    counted(phone, trap, 3)
    clock.move(days=5)
    at_trap = TrapRound(phone).open(trap)
    touch(at_trap)
    view = at_trap.done().view
    assert (view.number, view.state, view.catch, view.per_trap_week) == (None, None, None, None)
    (line,) = report_of(phone, "2026").traps
    assert (line.visits[1].state, line.visits[1].raw, line.visits[1].days) == ("no_count", None, None)
    assert "0 caught" not in as_text(report_of(phone, "2026"))


def test_one_less_where_no_number_is_said_claims_none_of_none(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    assert at_trap.minus_one().notes == ("No number is said yet.",) and phone.all(TrapVisit) == []
    at_trap.new_liner()
    view = at_trap.minus_one()
    assert (view.number, view.notes) == (None, ("No number is said yet.",))


def test_a_number_said_after_the_new_liner_is_a_count(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.new_liner()
    view = at_trap.none()
    assert (view.number, view.state, view.catch) == (0, TrapState.COUNTED, 0)


def test_phones_that_did_not_meet_for_weeks_keep_each_others_counts(
    phone: PhoneStore, neighbour: PhoneStore, trap: str, clock: SetClock
) -> None:
    hears(neighbour, phone)
    counted(phone, trap, 3)
    clock.move(days=44)
    counted(neighbour, trap, 5)
    hears(phone, neighbour)
    (line,) = report_of(phone, "2026").traps
    assert [(one.catch, one.double_of) for one in line.visits] == [(3, None), (5, None)]


def test_an_earlier_first_visit_entered_late_overlaps_no_count_that_named_none(
    phone: PhoneStore, trap: str
) -> None:
    counted(phone, trap, 5, when="2026-09-03")
    assert TrapRound(phone).open(trap, Told(when="2026-08-28")).number(4).overlaps is None


def test_a_lost_trap_hung_anew_has_an_empty_liner(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.count_as(CountMode.ON_LINER)
    at_trap.number(40)
    at_trap.done()
    clock.move(days=3)
    lost = TrapRound(phone).open(trap)
    lost.not_counted(TrapState.LOST)
    lost.done()
    move_trap(phone, trap)
    clock.move(days=4)
    view = TrapRound(phone).open(trap).number(5)
    assert (view.on_liner_before, view.catch) == (0, 5)
    assert view.per_trap_week == pytest.approx(8.75)  # 5 moths in 4 days


def test_a_touch_is_taken_back_and_both_stay_in_the_history(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.plus_one()
    before = at_trap.view
    at_trap.not_counted(TrapState.FLOODED)
    after = at_trap.take_back(before)
    assert (after.number, after.state) == (1, TrapState.COUNTED)
    (visit,) = phone.all(TrapVisit)
    assert len(phone.entries_of(visit.rec)) == 3


@pytest.mark.parametrize(
    "touch",
    [
        TrapAtHand.plus_one,
        TrapAtHand.emptied,
        TrapAtHand.new_liner,
        TrapAtHand.new_lure,
        lambda hand: hand.count_as(CountMode.ON_LINER),
        lambda hand: hand.not_counted(TrapState.LOST),
    ],
)
def test_any_touch_taken_back_leaves_the_trap_as_it_was(
    phone: PhoneStore, trap: str, touch: Callable[[TrapAtHand], TrapView]
) -> None:
    at_trap = TrapRound(phone).open(trap)
    before = at_trap.number(3)
    assert touch(at_trap) != before
    assert at_trap.take_back(before) == before


def test_taking_back_the_first_touch_undoes_the_visit(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    before = at_trap.view
    at_trap.plus_one()
    assert at_trap.take_back(before) == before
    assert phone.all(TrapVisit) == []
    assert at_trap.plus_one().number == 1


def test_a_visit_that_was_ended_too_soon_goes_on(phone: PhoneStore, trap: str) -> None:
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(2)
    at_trap.done()
    at_trap.go_on()
    assert TrapRound(phone).open(trap).view.number == 2

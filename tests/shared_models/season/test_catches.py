"""Trap catch from raw numbers: what one visit adds, double counts, and days of known exposure."""

import pytest

from shared_models.entries import Entry
from shared_models.season.report_parts import TrapLine
from tests.builders import FieldPhone
from tests.shared_models.season.seasons import codes, report_of


class OneTrap:
    """One trap hung on 1 May, and the visits to it."""

    def __init__(self, hung: str | None = "2026-05-01") -> None:
        self.phone = FieldPhone()
        self.garden = self.phone.garden()
        self.trap = self.phone.trap(self.garden)
        self.entries = [self.garden, self.trap]
        if hung:
            self.hangs(hung)

    def hangs(self, from_day: str, to_day: str | None = None) -> None:
        placed = {"trap": self.trap.rec, "garden": self.garden.rec, "from_day": from_day}
        self.entries.append(self.phone.makes("placement", placed | ({"to_day": to_day} if to_day else {})))

    def visit(self, day: str, moths: int | None, previous: Entry | None = None, **more: object) -> Entry:
        named = {"previous": previous.rec} if previous else {}
        visit = self.phone.trap_visit(self.trap, moths, when=day, **named, **more)
        self.entries.append(visit)
        return visit

    def line(self) -> TrapLine:
        return report_of(self.entries).traps[0]


@pytest.fixture
def trap() -> OneTrap:
    return OneTrap()


def test_four_moths_in_ten_days_are_two_point_eight_a_week_and_not_four(trap) -> None:
    """Acceptance fact 14; own arithmetic 4 · 7 / 10, also a row of stat_vectors.csv."""
    trap.visit("2026-05-11", 4)
    assert trap.line().per_week == pytest.approx(2.8)


def test_two_counts_after_one_visit_are_flagged_and_never_added(trap) -> None:
    """Acceptance fact 17: two helpers count one trap on the same day."""
    first = trap.visit("2026-05-08", 3)
    trap.visit("2026-05-15T09:00:00+02:00", 7, first)
    trap.visit("2026-05-15T11:00:00+02:00", 6, first)
    line = trap.line()
    assert line.catch == 10 and line.visits[2].double_of == line.visits[1].visit
    assert "DOUBLE_COUNT" in codes(report_of(trap.entries).warnings)


def test_the_earlier_of_two_counts_is_used_whichever_was_entered_first(trap) -> None:
    first = trap.visit("2026-05-08", 3)
    trap.visit("2026-05-15T11:00:00+02:00", 6, first)
    trap.visit("2026-05-15T09:00:00+02:00", 7, first)
    assert trap.line().catch == 10


def test_two_first_visits_of_a_new_trap_are_a_double_count_too(trap) -> None:
    trap.visit("2026-05-08T09:00:00+02:00", 3)
    trap.visit("2026-05-08T10:00:00+02:00", 3)
    assert trap.line().catch == 3


def test_naming_the_other_count_as_previous_settles_a_double_count(trap) -> None:
    first = trap.visit("2026-05-08", 3)
    second = trap.visit("2026-05-15T09:00:00+02:00", 7, first)
    third = trap.visit("2026-05-15T11:00:00+02:00", 6, first)
    trap.entries.append(trap.phone.edits(third, previous=second.rec))
    assert trap.line().catch == 16


def test_all_on_the_liner_now_takes_the_last_count_off(trap) -> None:
    first = trap.visit("2026-05-08", 3, mode="on_liner")
    second = trap.visit("2026-05-15", 8, first, mode="on_liner")
    trap.visit("2026-05-22", 9, second, mode="on_liner")
    assert [visit.catch for visit in trap.line().visits] == [3, 5, 1]


def test_an_emptied_trap_or_a_new_liner_starts_from_none(trap) -> None:
    first = trap.visit("2026-05-08", 6, mode="on_liner", emptied=True)
    second = trap.visit("2026-05-15", 4, first, mode="on_liner", liner_changed=True)
    trap.visit("2026-05-22", 2, second, mode="on_liner")
    assert [visit.catch for visit in trap.line().visits] == [6, 4, 2]


def test_new_moths_add_to_what_is_on_the_liner(trap) -> None:
    first = trap.visit("2026-05-08", 6)
    second = trap.visit("2026-05-15", 2, first)
    trap.visit("2026-05-22", 9, second, mode="on_liner")
    assert [visit.catch for visit in trap.line().visits] == [6, 2, 1]


def test_a_second_count_that_says_all_on_the_liner_adds_only_what_is_new(trap) -> None:
    first = trap.visit("2026-05-08", 3)
    trap.visit("2026-05-15T09:00:00+02:00", 7, first)
    trap.visit("2026-05-15T11:00:00+02:00", 10, first, mode="on_liner")
    assert trap.line().catch == 10


def test_fewer_on_the_liner_than_before_is_none_and_asked_about(trap) -> None:
    first = trap.visit("2026-05-08", 6, mode="on_liner")
    trap.visit("2026-05-15", 4, first, mode="on_liner")
    assert trap.line().catch == 6
    assert "CATCH_BELOW_NONE" in codes(report_of(trap.entries).warnings)


def test_none_is_a_count_and_adds_exposure(trap) -> None:
    trap.visit("2026-05-15", 0)
    line = trap.line()
    assert (line.catch, line.trap_days, line.per_week) == (0, 14, 0)
    assert line.high == pytest.approx(0.2634913895796 * 7, abs=1e-5), "poisson_0_14, R 4.2.2 poisson.test"


@pytest.mark.parametrize("state", ["lost", "flooded", "unreadable", "not_visited"])
def test_a_visit_without_a_count_breaks_the_exposure_and_is_no_zero(trap, state) -> None:
    first = trap.visit("2026-05-08", 7)
    second = trap.visit("2026-05-15", None, first, state=state)
    trap.visit("2026-05-22", 5, second)
    line = trap.line()
    assert (line.catch, line.trap_days, line.caught_in_all) == (7, 7, 12)
    assert line.visits[1].state == state and line.visits[2].days is None


def test_without_a_hanging_day_the_first_count_only_starts_the_exposure() -> None:
    trap = OneTrap(hung=None)
    first = trap.visit("2026-05-08", 9)
    trap.visit("2026-05-15", 2, first)
    line = trap.line()
    assert (line.catch, line.trap_days, line.caught_in_all) == (2, 7, 11)


def test_weeks_share_a_catch_evenly_over_its_days(trap) -> None:
    trap.visit("2026-05-11", 10)
    weeks = report_of(trap.entries).trap_weeks
    assert [(week.week, week.trap_days) for week in weeks] == [("2026-W18", 3), ("2026-W19", 7)]
    assert sum(week.catch for week in weeks) == pytest.approx(10) and weeks[1].per_trap_week == pytest.approx(
        7
    )


def test_a_trap_hung_again_in_another_year_starts_there() -> None:
    trap = OneTrap(hung=None)
    trap.hangs("2025-04-25", "2025-10-01")
    trap.hangs("2026-04-25")
    trap.visit("2026-04-29", 8)
    line = trap.line()
    assert (line.trap_days, line.per_week) == (4, 14.0)


def test_a_trap_taken_down_between_two_counts_catches_nothing_meanwhile() -> None:
    trap = OneTrap(hung=None)
    trap.hangs("2026-05-01", "2026-06-01")
    trap.hangs("2026-07-01", "2026-10-01")
    first = trap.visit("2026-05-31", 3)
    trap.visit("2026-07-08", 7, first)
    assert trap.line().trap_days == 30 + 7


def test_a_trap_moved_on_one_day_hung_all_along() -> None:
    trap = OneTrap(hung=None)
    trap.hangs("2026-05-01", "2026-05-10")
    trap.hangs("2026-05-10")
    first = trap.visit("2026-05-08", 3)
    trap.visit("2026-05-15", 7, first)
    assert trap.line().trap_days == 14


def test_a_trap_without_a_day_of_hanging_still_counts_days_between_visits(trap) -> None:
    first = trap.visit("2026-05-08", 0, state="lost")
    second = trap.visit("2026-05-15", 3, first)
    trap.visit("2026-05-22", 4, second)
    assert [visit.days for visit in trap.line().visits] == [None, None, 7]


def test_a_lost_trap_hung_anew_has_exposure_from_then_on() -> None:
    trap = OneTrap(hung=None)
    trap.hangs("2026-05-01", "2026-05-15")
    trap.hangs("2026-05-16")
    lost = trap.visit("2026-05-15", None, state="lost")
    trap.visit("2026-05-20", 2, lost)
    assert trap.line().trap_days == 4

"""Trap catch from raw numbers: what one visit adds, double counts, and days of known exposure."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.entries import Entry, seal
from shared_models.report_text import as_text
from shared_models.reports import season_report
from shared_models.season.report_parts import SeasonReport, TrapLine
from shared_models.store import entry_log, state
from tests.builders import FieldPhone
from tests.shared_models.season.seasons import codes, report_of
from tests.strategies import law


class OneTrap:
    """One trap hung on 1 May, and the visits to it."""

    def __init__(self, hung: str | None = "2026-05-01", hemisphere: str = "north") -> None:
        self.phone = FieldPhone()
        self.garden = self.phone.garden(hemisphere=hemisphere)
        self.trap = self.phone.trap(self.garden)
        self.entries = [self.garden, self.trap]
        if hung:
            self.hangs(hung)

    def hangs(self, from_day: str, to_day: str | None = None, garden: Entry | None = None) -> None:
        placed = {"trap": self.trap.rec, "garden": (garden or self.garden).rec, "from_day": from_day}
        self.entries.append(self.phone.makes("placement", placed | ({"to_day": to_day} if to_day else {})))

    def visit(self, day: str, moths: int | None, previous: Entry | None = None, **more: object) -> Entry:
        named = {"previous": previous.rec} if previous else {}
        visit = self.phone.trap_visit(self.trap, moths, when=day, **named, **more)
        self.entries.append(visit)
        return visit

    def other_garden(self, name: str = "Dale") -> Entry:
        garden = self.phone.garden(name)
        self.entries.append(garden)
        return garden

    def line(self, key: str = "2026") -> TrapLine:
        return report_of(self.entries, key).traps[0]


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


# -- over the end of a season


def in_the_south(hung: str | None = "2026-06-01") -> OneTrap:
    """A trap in a garden whose season ends on 30 June."""
    return OneTrap(hung, "south")


def from_a_store(connection, entries: list[Entry], key: str) -> SeasonReport:
    """The report of a season read back from SQL."""
    entry_log.append(connection, "ours", [seal(entry) for entry in entries])
    state.refold_touched(connection, "ours")
    return season_report(state.season_records(connection, "ours", key))


def test_moths_on_the_liner_when_a_season_begins_belong_to_the_season_before() -> None:
    trap = in_the_south()
    first = trap.visit("2026-06-28", 40, mode="on_liner")
    trap.visit("2026-07-05", 42, first, mode="on_liner")
    before, after = trap.line("2025/26"), trap.line("2026/27")
    assert [(one.catch, one.days) for one in before.visits] == [(40, 27)]
    assert [(one.catch, one.days) for one in after.visits] == [(2, 7)]


def test_new_moths_of_the_season_before_are_on_the_liner_too() -> None:
    trap = in_the_south()
    first = trap.visit("2026-06-21", 30, mode="new")
    second = trap.visit("2026-06-28", 10, first, mode="new")
    trap.visit("2026-07-05", 42, second, mode="on_liner")
    assert trap.line("2026/27").caught_in_all == 2


def test_a_liner_changed_in_the_season_before_starts_from_none() -> None:
    trap = in_the_south()
    first = trap.visit("2026-06-28", 40, mode="on_liner", liner_changed=True)
    trap.visit("2026-07-05", 42, first, mode="on_liner")
    assert trap.line("2026/27").catch == 42


def test_two_counts_after_one_visit_of_the_season_before_are_double_over_its_end() -> None:
    trap = in_the_south()
    first = trap.visit("2026-06-21", 3)
    trap.visit("2026-06-30", 7, first)
    trap.visit("2026-07-01", 7, first)
    assert [(one.catch, one.days) for one in trap.line("2026/27").visits] == [(0, None)]


def test_a_trap_that_was_not_visited_this_season_is_not_listed() -> None:
    trap = in_the_south()
    trap.visit("2026-06-28", 40, mode="on_liner")
    assert report_of(trap.entries, "2026/27").traps == []


def test_an_unknown_day_is_in_no_season_and_on_no_liner(trap) -> None:
    trap.visit("unknown", 9, mode="on_liner")
    trap.visit("2026-05-08", 12, mode="on_liner")
    report = report_of(trap.entries)
    assert report.traps[0].caught_in_all == 12 and len(report.unplaced) == 1


def test_the_season_before_is_known_to_a_store_as_it_is_to_bare_entries(connection) -> None:
    trap = in_the_south()
    first = trap.visit("2026-06-28", 40, mode="on_liner")
    trap.visit("2026-07-05", 42, first, mode="on_liner")
    stored = from_a_store(connection, trap.entries, "2026/27")
    assert stored.model_dump_json() == report_of(trap.entries, "2026/27").model_dump_json()
    assert stored.traps[0].catch == 2


ANY_VISIT = st.tuples(
    st.integers(0, 23),
    st.sampled_from(["counted", "lost", "flooded"]),
    st.integers(0, 30),
    st.sampled_from(["new", "on_liner"]),
    st.booleans(),
)


@settings(law)
@given(st.lists(ANY_VISIT, max_size=12, unique_by=lambda told: told[0]))
def test_seasons_share_the_visits_of_a_trap_as_if_no_season_ended(told) -> None:
    """In the north 10 to 21 June and 22 June to 3 July are one season, in the south two."""
    north, south = OneTrap("2026-06-01"), in_the_south()
    days = [f"2026-06-{10 + n}" if n < 21 else f"2026-07-0{n - 20}" for n in range(24)]
    for trap in (north, south):
        before: Entry | None = None
        for n, found, moths, mode, liner in sorted(told):
            said = {"state": found, "mode": mode, "liner_changed": liner}
            before = trap.visit(days[n], moths if found == "counted" else None, before, **said)
    whole, parts = (
        [
            (one.day, one.catch, one.days)
            for key in keys
            for line in report_of(trap.entries, key).traps
            for one in line.visits
        ]
        for trap, keys in ((north, ["2026"]), (south, ["2025/26", "2026/27"]))
    )
    assert parts == whole


# -- touched, and not counted


@pytest.mark.parametrize("touched", [{"liner_changed": True}, {"emptied": True}, {"lure_type": "long-life"}])
def test_a_visit_that_says_no_number_is_no_count_and_never_none_caught(trap, touched) -> None:
    first = trap.visit("2026-05-08", 3)
    trap.visit("2026-05-15", None, first, state="counted", **touched)
    line = trap.line()
    assert [(one.state, one.raw, one.days) for one in line.visits][1] == ("no_count", None, None)
    assert (line.catch, line.trap_days) == (3, 7)
    text = as_text(report_of(trap.entries))
    assert "2026-05-15  no count\n" in text and "0 caught" not in text


# -- double or not


def test_naming_no_visit_before_it_is_not_naming_the_same(trap) -> None:
    """Two phones that did not meet for 44 days: neither knew of the other's count."""
    trap.visit("2026-05-08", 3)
    trap.visit("2026-06-21", 5)
    line = trap.line()
    assert [one.double_of for one in line.visits] == [None, None] and line.caught_in_all == 8
    assert "DOUBLE_COUNT" not in codes(report_of(trap.entries).warnings)


def test_counts_of_unknown_day_that_name_no_visit_are_not_double() -> None:
    trap = OneTrap()
    for moths in (3, 4):
        trap.visit("unknown", moths, season="2026")
    assert trap.line().caught_in_all == 7


def test_a_double_count_adds_neither_moths_nor_days(trap) -> None:
    first = trap.visit("2026-05-08", 3)
    second = trap.visit("2026-05-15", 7, first)
    trap.visit("2026-05-18", 7, first)
    trap.visit("2026-05-22", 4, second)
    line = trap.line()
    assert [(one.catch, one.days) for one in line.visits] == [(3, 7), (7, 7), (0, None), (4, 7)]
    assert line.trap_days == 21


# -- lost and hung anew


@pytest.mark.parametrize("anew", ["2026-05-15", "2026-05-16", "2026-05-20"])
def test_nothing_of_the_old_liner_is_in_a_trap_hung_anew_after_a_loss(anew) -> None:
    trap = OneTrap(hung=None)
    trap.hangs("2026-05-01", "2026-05-15")
    trap.hangs(anew)
    first = trap.visit("2026-05-08", 40, mode="on_liner")
    lost = trap.visit("2026-05-15", None, first, state="lost")
    trap.visit("2026-05-25", 5, lost, mode="on_liner")
    last = trap.line().visits[2]
    assert (last.catch, last.days) == (5, 25 - int(anew[-2:]))
    assert "CATCH_BELOW_NONE" not in codes(report_of(trap.entries).warnings)


def test_a_lost_trap_that_was_found_again_has_its_liner(trap) -> None:
    first = trap.visit("2026-05-08", 40, mode="on_liner")
    lost = trap.visit("2026-05-15", None, first, state="lost")
    found = trap.visit("2026-05-25", 45, lost, mode="on_liner")
    trap.hangs("2026-05-26")
    trap.visit("2026-05-30", 46, found, mode="on_liner")
    assert [one.catch for one in trap.line().visits] == [40, 0, 5, 1]


# -- twice on one day


@pytest.mark.parametrize("day", ["2026-05-11", "2026-05-13"])
def test_moths_of_a_second_count_on_one_day_are_in_the_weeks_too(trap, day) -> None:
    """11 May 2026 is a Monday: no night of its week is in the exposure yet."""
    first = trap.visit(f"{day}T09:00:00+02:00", 10)
    trap.visit(f"{day}T17:00:00+02:00", 2, first)
    report = report_of(trap.entries)
    assert [(one.catch, one.days) for one in report.traps[0].visits][1] == (2, 0)
    assert sum(week.catch for week in report.trap_weeks) == pytest.approx(12)
    assert sum(week.trap_days for week in report.trap_weeks) == int(day[-2:]) - 1


def test_moths_of_a_second_count_on_one_day_stand_in_the_week_of_that_day(trap) -> None:
    first = trap.visit("2026-05-11T09:00:00+02:00", 0)
    second = trap.visit("2026-05-11T17:00:00+02:00", 2, first)
    trap.visit("2026-05-15", 0, second)
    assert [(one.week, one.catch) for one in report_of(trap.entries).trap_weeks][-1] == ("2026-W20", 2)

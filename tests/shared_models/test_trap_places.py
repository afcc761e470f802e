"""Where a trap hung: the garden that a count stands under, from its placements."""

import pytest

from shared_models.entries import Entry
from tests.shared_models.season.seasons import report_of
from tests.shared_models.season.test_catches import OneTrap, in_the_south


def by_garden(trap: OneTrap, key: str = "2026") -> list[tuple[str, list[str | None]]]:
    """The gardens of a trap with the days of its visits there."""
    return [(line.garden, [one.day for one in line.visits]) for line in report_of(trap.entries, key).traps]


def moved_trap() -> tuple[OneTrap, Entry]:
    """A trap that hung on Hill until 1 June and in Dale from then on."""
    trap = OneTrap(hung=None)
    dale = trap.other_garden()
    trap.hangs("2026-05-01", "2026-06-01")
    trap.hangs("2026-06-01", garden=dale)
    trap.entries.append(trap.phone.edits(trap.trap, garden=dale.rec))
    return trap, dale


def test_catch_stands_under_the_garden_where_the_trap_hung_on_the_day() -> None:
    trap, _ = moved_trap()
    first = trap.visit("2026-05-20", 3)
    trap.visit("2026-06-20", 5, first)
    assert sorted(by_garden(trap)) == [("Dale", ["2026-06-20"]), ("Hill", ["2026-05-20"])]
    weeks = {week.garden: week.week for week in report_of(trap.entries).trap_weeks}
    assert weeks.keys() == {"Hill", "Dale"}


def test_a_count_on_the_day_of_the_move_is_of_the_old_garden() -> None:
    trap, _ = moved_trap()
    trap.visit("2026-06-01", 3)
    assert by_garden(trap) == [("Hill", ["2026-06-01"])]


def test_the_liner_moves_along() -> None:
    trap, _ = moved_trap()
    first = trap.visit("2026-06-01", 10, mode="on_liner")
    trap.visit("2026-06-08", 12, first, mode="on_liner")
    assert {line.garden: line.catch for line in report_of(trap.entries).traps} == {"Hill": 10, "Dale": 2}


def test_a_trap_without_a_placement_stands_under_its_own_garden() -> None:
    trap = OneTrap(hung=None)
    trap.visit("2026-05-08", 3)
    assert by_garden(trap) == [("Hill", ["2026-05-08"])]


@pytest.mark.parametrize("day", ["2026-04-20", "2026-05-15", "2026-06-25"])
def test_a_count_outside_of_all_placements_stands_where_the_trap_hung_nearest_before(day) -> None:
    trap = OneTrap(hung=None)
    dale = trap.other_garden()
    trap.hangs("2026-05-01", "2026-05-10")
    trap.hangs("2026-06-01", "2026-06-20", garden=dale)
    trap.visit(day, 3)
    assert by_garden(trap) == [("Dale" if day > "2026-06" else "Hill", [day])]


def test_the_season_of_a_count_is_that_of_the_garden_where_the_trap_hung() -> None:
    trap = in_the_south(hung=None)
    north = trap.other_garden()
    trap.hangs("2026-03-01", "2026-04-30")
    trap.hangs("2026-05-20", garden=north)
    trap.entries.append(trap.phone.edits(trap.trap, garden=north.rec))
    first = trap.visit("2026-04-15", 3)
    trap.visit("2026-06-01", 5, first)
    assert by_garden(trap, "2025/26") == [("Hill", ["2026-04-15"])]
    assert by_garden(trap, "2026") == [("Dale", ["2026-06-01"])]

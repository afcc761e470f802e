"""Stamps never go back, whatever the wall clock does, and whoever saw a value and replaced it does not lose to it."""

from hypothesis import example, given
from hypothesis import strategies as st

from shared_models.fold import fold
from shared_models.stamps import EARLIEST_MS, LATEST_MS, STAMP_FORM, HybridClock, written
from tests.builders import FieldPhone
from tests.strategies import law

YEAR = 365 * 86_400_000
IN_1970, IN_2026, IN_2099 = 0, 1_780_000_000_000, 129 * YEAR
walls = st.one_of(
    st.sampled_from([IN_1970, IN_2026, IN_2099, EARLIEST_MS, LATEST_MS]), st.integers(-YEAR, 2**47)
)


@law
@given(st.lists(walls, min_size=2, max_size=30))
def test_stamps_never_go_back_and_never_repeat(wall_readings):
    clock = HybridClock()
    given_out = [clock.tick(wall) for wall in wall_readings]
    assert given_out == sorted(set(given_out))
    assert all(STAMP_FORM.fullmatch(stamp) for stamp in given_out)


@law
@given(st.lists(walls, max_size=10), walls, walls)
def test_a_tick_lies_after_every_stamp_received(others_walls, own, own_later):
    other, clock = HybridClock(), HybridClock()
    clock.tick(own)
    seen = [other.tick(wall) for wall in others_walls]
    for stamp in seen:
        clock.receive(stamp)
    assert all(clock.tick(own_later) > stamp for stamp in seen)


def test_a_clock_that_can_be_believed_gives_its_milliseconds():
    assert HybridClock().tick(IN_2026) == f"{IN_2026:012x}0000"


def test_two_entries_of_one_millisecond_differ_by_the_counter():
    clock = HybridClock()
    assert [clock.tick(IN_2026)[-4:] for _ in range(3)] == ["0000", "0001", "0002"]


def test_a_clock_set_back_goes_on_counting():
    clock = HybridClock()
    first = clock.tick(IN_2026)
    assert clock.tick(IN_2026 - YEAR) == written(int(first, 16) + 1)


def test_clocks_of_1970_and_2099_are_not_believed():
    for wall in (IN_1970, IN_2099, EARLIEST_MS - 1, LATEST_MS + 1):
        assert HybridClock(last=41).tick(wall) == written(42)
    for wall in (EARLIEST_MS, LATEST_MS):
        assert HybridClock().tick(wall) == written(wall << 16)


def test_receiving_an_older_stamp_changes_nothing():
    clock = HybridClock(last=100)
    clock.receive(written(7))
    assert clock.last == 100


def test_a_full_counter_runs_into_the_next_millisecond():
    clock = HybridClock(last=(IN_2026 << 16) + 0xFFFF)
    assert clock.tick(IN_2026) == f"{IN_2026 + 1:012x}0000"


@example(seconds=-3600 * 24 * 365 * 2)
@example(seconds=3600)
@law
@given(st.integers(-(2**31), 2**31))
def test_who_saw_a_value_and_replaced_it_does_not_lose_to_it(seconds):
    fast_or_slow, neighbour = FieldPhone(), FieldPhone()
    made = fast_or_slow.garden("first")
    neighbour.clock.last = 0
    neighbour_wall = neighbour.wall.timestamp() + seconds
    neighbour.receives(made)
    stamp = neighbour.clock.tick(int(neighbour_wall * 1000))
    edit = neighbour.edits(made, name="second").model_copy(update={"stamp": stamp})
    assert fold([edit, made]).fields["name"] == "second"


def test_a_stamp_beyond_all_clocks_cannot_stop_a_phone():
    clock = HybridClock()
    clock.receive("f" * 16)
    after = [clock.tick(IN_2026), clock.tick(IN_2026)]
    assert all(STAMP_FORM.fullmatch(stamp) for stamp in after)
    assert after == sorted(set(after))

"""Facts about when, and about labels, that an expert would try: typed on a phone, shared, read from the server.

Numbers are those of the fact. 1 to 5, 7: single sine by numeric integration, averages as read in extension notes
(Michigan, Indiana). 6, 8: definition and good practice. 9, 10: extension notes of Indiana and California. 11 to 13:
Knight 2007, Washington State University 2017; what is quoted from memory is labelled so. 15, 16: Washington State
University, National Institute of Agricultural Botany. 24, 25: label rule; BBCH 60-69 are open flowers.
"""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import httpx
import pytest

from mobile.workflows import first_start, trees
from mobile.workflows.day_temperatures import note_day
from mobile.workflows.picking import PickingVisit
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.stages import note_stage
from mobile.workflows.timing import season_timing_of, set_timing, timing_text
from mobile.workflows.today import today_view
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.degree_days import Cutoff, Method, to_celsius
from shared_models.calculations.forecast import Basis
from shared_models.language import together
from shared_models.records.jobs import Job
from shared_models.records.tallies import Pick
from shared_models.reference.published_events import Clock
from shared_models.seasons import Hemisphere
from shared_models.timing.parts import ClockLine, EventBand, GardenTiming, SeasonTiming
from shared_models.timing_text import timing_as_text
from shared_models.vocabulary import AllScored, Fruit
from tests.acceptance.conftest import Helper

Helpers = Callable[[str], Helper]
FIRST = date(2026, 5, 1)
IN_88 = to_celsius(88)
WEEK = [(44, 66), (48, 72), (52, 79), (55, 91), (41, 58), (38, 55), (60, 95)]


@pytest.fixture
def keeper(helper: Helpers) -> Helper:
    one = helper("Ada")
    one.goes_to("2026-05-31")
    return one


@pytest.fixture
def garden(keeper: Helper) -> str:
    return first_start.name_garden(keeper.store, "Hill (invented)", Hemisphere.NORTH).garden


def from_the_server(keeper: Helper, day: date | None = None) -> GardenTiming:
    """The timing of the one garden as the server gives it; the same as the phone's, to the last byte."""
    keeper.shares()
    member = keeper.store.membership.current()
    assert member
    on = day or keeper.clock.time.date()
    answer = httpx.get(
        f"{keeper.url}/api/v1/timing/2026?day={on}", headers={"Authorization": f"Bearer {member.token}"}
    )
    assert answer.text == season_timing_of(keeper.store, "2026", on).model_dump_json()
    timing = SeasonTiming.model_validate_json(answer.text)
    assert timing_as_text(timing) == timing_text(keeper.store, "2026", on)
    (one,) = timing.gardens
    return one


def clock_of(timing: GardenTiming, which: Clock = Clock.SEASON) -> ClockLine:
    found = timing.clock(which)
    assert found is not None
    return found


def event_of(timing: GardenTiming, key: str, which: Clock) -> EventBand:
    return next(one for one in clock_of(timing, which).events if one.key == key)


def total_f(timing: GardenTiming) -> float:
    """The season's total in °F-days."""
    return clock_of(timing).high * 1.8


def typed_in_f(keeper: Helper, garden: str, *days: tuple[float, float], first: date = FIRST) -> None:
    for n, (low, high) in enumerate(days):
        note_day(keeper.store, garden, first + timedelta(n), low, high, "F")


def count(keeper: Helper, trap: str, day: str, moths: int, **more: Any) -> None:
    """A finished visit to a trap, emptied."""
    keeper.goes_to(day, "18:00")
    at_trap = TrapRound(keeper.store).open(trap)
    at_trap.number(moths)
    at_trap.emptied()
    if more.get("lure"):
        at_trap.new_lure("ordinary", 1)
    at_trap.done()


# ---------------------------------------------------------------- one day
@pytest.mark.parametrize(
    ("day", "by_method"),
    [
        ((40, 65), {Method.SINGLE_SINE: 5.309, Method.AVERAGE: 2.5, Method.AVERAGE_CLIPPED: 7.5}),
        ((35, 60), {Method.SINGLE_SINE: 2.809, Method.AVERAGE: 0.0}),
        ((45, 95), {Method.SINGLE_SINE: 19.550}),
        ((65, 65), {Method.SINGLE_SINE: 15.000}),
        ((95, 95), {Method.SINGLE_SINE: 38.000}),
    ],
    ids=["fact 1", "fact 2", "fact 4", "fact 5, 65 °F", "fact 5, 95 °F"],
)
def test_facts_1_2_4_5_a_day_by_its_method(
    keeper: Helper, garden: str, day: tuple[float, float], by_method: dict[Method, float]
) -> None:
    typed_in_f(keeper, garden, day)
    for method, wanted in by_method.items():
        set_timing(keeper.store, garden, method=method, upper_c=IN_88)
        timing = from_the_server(keeper)
        assert total_f(timing) == pytest.approx(wanted, abs=0.001) and timing.reckoned.method is method


def test_fact_3_a_hot_day_by_its_cutoff(keeper: Helper, garden: str) -> None:
    typed_in_f(keeper, garden, (60, 95))
    wanted = {Cutoff.HORIZONTAL: 26.143, Cutoff.VERTICAL: 14.927, Cutoff.INTERMEDIATE: 24.786}
    for cutoff, total in wanted.items():
        set_timing(keeper.store, garden, cutoff=cutoff, upper_c=IN_88)
        assert total_f(from_the_server(keeper)) == pytest.approx(total, abs=0.001)


# ---------------------------------------------------------------- several days
def test_facts_6_and_7_a_week_in_either_unit(keeper: Helper, garden: str) -> None:
    typed_in_f(keeper, garden, *WEEK)
    later = FIRST + timedelta(7)
    set_timing(keeper.store, garden, upper_c=IN_88)
    in_fahrenheit = total_f(from_the_server(keeper))
    assert in_fahrenheit == pytest.approx(84.538, abs=0.001)
    for n, (low, high) in enumerate(WEEK):
        note_day(keeper.store, garden, later + timedelta(n), to_celsius(low), to_celsius(high), "C")
    both = total_f(from_the_server(keeper))
    assert both - in_fahrenheit == pytest.approx(in_fahrenheit, abs=0.01)
    assert "°F-days" in timing_text(keeper.store, "2026")


def test_fact_8_a_day_without_a_reading_is_named_and_not_counted_0(keeper: Helper, garden: str) -> None:
    typed_in_f(keeper, garden, *WEEK[:2])
    typed_in_f(keeper, garden, *WEEK[3:], first=FIRST + timedelta(3))
    clock = clock_of(from_the_server(keeper))
    assert clock.missing[-1].first == clock.missing[-1].last == "2026-05-03"
    text = timing_text(keeper.store, "2026")
    assert "Incomplete: 121 days are missing (2026-01-01 to 2026-04-30, 2026-05-03)" in text


# ---------------------------------------------------------------- biofix
def test_fact_9_one_moth_alone_is_no_biofix(keeper: Helper, garden: str) -> None:
    trap = hang_trap(keeper.store, "T1", garden, since=date(2026, 4, 20)).trap
    for day, moths in (("2026-05-04", 0), ("2026-05-07", 1), ("2026-05-10", 0), ("2026-05-13", 0)):
        count(keeper, trap, day, moths)
    for rule in (Rule.TOTAL, Rule.MEAN):
        set_timing(keeper.store, garden, rule=rule)
        flight = from_the_server(keeper, date(2026, 5, 14)).flight
        assert (flight.rule, flight.state) == (rule, State.NOT_MET)
    assert "Biofix: not met up to 2026-05-13." in timing_text(keeper.store, "2026", date(2026, 5, 14))


def test_fact_10_three_catches_below_62_at_sunset_are_none_by_californias_rule(
    keeper: Helper, garden: str
) -> None:
    trap = hang_trap(keeper.store, "T1", garden, since=date(2026, 4, 20)).trap
    keeper.goes_to("2026-05-20")
    for n in range(10):
        note_day(keeper.store, garden, FIRST + timedelta(n), 45, 72, "F", dusk=61)
    for day, moths in (("2026-05-05", 0), ("2026-05-06", 2), ("2026-05-07", 1), ("2026-05-08", 3)):
        count(keeper, trap, day, moths)
    set_timing(keeper.store, garden, rule=Rule.IN_A_ROW)
    flight = from_the_server(keeper, date(2026, 5, 9)).flight
    assert flight.state is State.NOT_MET and "2026-05-06" in flight.cool
    text = timing_text(keeper.store, "2026", date(2026, 5, 9))
    assert together("Rule: first of three days in a row with catch, and 16.7 °C (62 °F) at sunset.") in text
    assert "Too cool at sunset: 2026-05-06" in text
    keeper.goes_to("2026-05-20")
    note_day(keeper.store, garden, date(2026, 5, 6), 45, 72, "F", dusk=62)
    assert from_the_server(keeper, date(2026, 5, 9)).flight.state is State.MET


# ---------------------------------------------------------------- what comes next
def warm(keeper: Helper, garden: str, first: date, days: int, each_f: float) -> None:
    """So many days of as many °F-days each, between the thresholds."""
    for n in range(days):
        note_day(keeper.store, garden, first + timedelta(n), 50 + each_f - 8, 50 + each_f + 8, "F")


def test_fact_11_250_after_biofix_first_egg_hatch_is_about_now_with_its_spread(
    keeper: Helper, garden: str
) -> None:
    keeper.goes_to("2026-06-30")
    set_timing(keeper.store, garden, rule=Rule.BY_HAND, biofix="2026-05-01/2026-05-03")
    warm(keeper, garden, FIRST, 26, 10)  # 260 from the first day of biofix, 240 from the last
    timing = from_the_server(keeper, date(2026, 5, 26))
    hatch = event_of(timing, "first_hatch", Clock.BIOFIX)
    assert hatch.earliest == "2026-05-25" and hatch.latest and "2026-05-26" < hatch.latest <= "2026-05-29"
    text = timing_text(keeper.store, "2026", date(2026, 5, 26))
    assert together("first egg hatch (139 °C-days, 250 °F-days): about now, 2026-05-25 to ") in text
    assert together("Unchecked, quoted from memory: 122 to 139 °C-days, 220 to 250 °F-days; ") in text


def test_fact_12_without_a_trap_hatch_is_at_425_from_new_year_the_same_as_250_after_175(
    keeper: Helper, garden: str
) -> None:
    keeper.goes_to("2026-06-30")
    warm(keeper, garden, date(2026, 1, 1), 100, -10)  # 32 to 48 °F: no warmth
    warm(keeper, garden, date(2026, 4, 11), 70, 12.5)
    timing = from_the_server(keeper, date(2026, 6, 19))
    by_season = event_of(timing, "first_hatch", Clock.SEASON)
    assert by_season.earliest == by_season.latest == "2026-05-14"  # 34 days of 12.5 from 11 April on
    set_timing(keeper.store, garden, rule=Rule.BY_HAND, biofix="2026-04-25")  # after 14 days of 12.5
    by_biofix = event_of(from_the_server(keeper, date(2026, 6, 19)), "first_hatch", Clock.BIOFIX)
    assert by_biofix.earliest == by_season.earliest and by_biofix.basis is Basis.REACHED


def test_fact_13_at_1060_after_biofix_the_second_flight_may_begin_and_is_labelled_unchecked(
    keeper: Helper, garden: str
) -> None:
    keeper.goes_to("2026-07-31")
    set_timing(keeper.store, garden, rule=Rule.BY_HAND, biofix="2026-05-01")
    warm(keeper, garden, FIRST, 55, 20)
    timing = from_the_server(keeper, date(2026, 6, 24))
    second = event_of(timing, "second_flight", Clock.BIOFIX)
    assert second.unchecked and second.earliest == second.latest == "2026-06-22"  # 53 days of 20
    text = timing_text(keeper.store, "2026", date(2026, 6, 24))
    assert (
        together("second flight begins (unchecked, 589 °C-days, 1060 °F-days): reached 2026-06-22.") in text
    )


# ---------------------------------------------------------------- traps on Today
def test_facts_15_and_16_a_full_base_and_an_old_lure_are_due(keeper: Helper, garden: str) -> None:
    trap = hang_trap(keeper.store, "T1", garden, since=date(2026, 5, 1)).trap
    for day, moths in (("2026-05-04", 0), ("2026-05-07", 14), ("2026-05-10", 15)):
        count(keeper, trap, day, moths)
    assert not [due for due in today_view(keeper.store).due if due.rule == "liner_moths"]
    count(keeper, trap, "2026-05-13", 1)
    (liner,) = [due for due in today_view(keeper.store).due if due.rule == "liner_moths"]
    assert liner.sentence == "Trap T1: change the liner, 30 moths since the last new one."
    keeper.goes_to("2026-05-30")
    for n in range(14):
        note_day(keeper.store, garden, date(2026, 5, 16) + timedelta(n), 18, 31, "C")
    (hot,) = [due for due in today_view(keeper.store).due if due.kind.value == "lure"]
    assert (hot.rule, hot.days) == ("lure_age_hot", 29)
    keeper.goes_to("2026-06-12")
    (old,) = [due for due in today_view(keeper.store).due if due.kind.value == "lure"]
    assert (old.rule, old.days) == ("lure_age", 42) and "four to six weeks" in old.reason


# ---------------------------------------------------------------- labels
def test_fact_24_picking_inside_the_interval_is_warned_of_and_kept(keeper: Helper, garden: str) -> None:
    tree = trees.add_tree(keeper.store, "1", garden).trees[0]
    keeper.goes_to("2026-09-01")
    record_spray(
        keeper.store, SprayTold("other_insecticide", [FromLabel("One", pre_harvest_days=7)], trees=[tree])
    )
    keeper.goes_to("2026-09-06")
    visit = PickingVisit(keeper.store, tree)
    view = visit.score(Fruit.CLEAN)
    assert "the first day to pick is Tuesday 8 September; Sunday 6 September is 2 days too early" in " ".join(
        view.warnings
    )
    visit.all_scored(AllScored.YES)
    visit.done()
    keeper.shares()
    assert len(keeper.store.all(Pick)) == 1 and keeper.report().tree(tree).parts


def test_fact_25_flowers_that_are_open_are_said_where_the_label_asks(keeper: Helper, garden: str) -> None:
    tree = trees.add_tree(keeper.store, "1", garden).trees[0]
    note_stage(keeper.store, "65", tree=tree)
    marked = FromLabel("One", not_while_in_flower=True)
    done = record_spray(keeper.store, SprayTold("other_insecticide", [marked], trees=[tree]))
    assert "Flowers are open (BBCH 65)" in " ".join(done.cautions)
    keeper.shares()
    assert keeper.store.get(Job, done.job) is not None

"""A whole season of due work, day by day, beside a table that was made by hand: due_season.csv.

The weather is invented so that it can be reckoned on paper: no warmth up to March, 5 degree-days (10 to 20 °C) a day in
April and May, 10 (14 to 26 °C) from June on, and 30 °C from 10 July to 5 August. So the season's total is 35 on 7 April,
62 short of the 97 at which moths may fly; at the fastest pace of the fortnight and 15 % (5.75 a day) that is 10.8 days,
less one: 16 April at the earliest. From biofix (19 to 22 April) the 138.9 degree-days of first egg hatch are 84 short on
29 April: 14.6 days, less one, at the earliest on 12 May, which is 13 days ahead. Full bloom on 2 May puts the first
drops round on 13 June, 42 days later; petal fall on 10 May the bags on 24 May, 14 days later.
"""

import csv
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.due import Due
from mobile.workflows.due_rules import rule_lines, set_due_rule, switch_off
from mobile.workflows.first_start import name_garden
from mobile.workflows.import_temperatures import TemperatureImport
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.today import today_view
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap, take_trap_down
from mobile.workflows.trees import add_row
from shared_models.errors import BadInputError
from shared_models.reference.work_rules import published_rules
from shared_models.seasons import Hemisphere
from tests.mobile.phones import SetClock

TABLE = Path(__file__).with_name("due_season.csv")
ROME = ZoneInfo("Europe/Rome")
Line = tuple[str, str, str, str]


def golden() -> dict[date, list[Line]]:
    """The lines of each day as they were written down by hand."""
    found: dict[date, list[Line]] = {}
    with TABLE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            lines = found.setdefault(date.fromisoformat(row["day"]), [])
            if row["kind"]:
                lines.append((row["kind"], row["rule"], row["mark"], row["sentence"]))
    return found


def weather() -> bytes:
    """The invented year."""
    lines = ["date,min (°C),max (°C)"]
    for n in range(365):
        day = date(2026, 1, 1) + timedelta(n)
        low, high = (0, 8) if day.month < 4 else (10, 20) if day.month < 6 else (14, 26)
        lines.append(f"{day},{low},{30 if date(2026, 7, 10) <= day <= date(2026, 8, 5) else high}")
    return "\n".join(lines).encode()


class Season:
    """One keeper's season: what is done on which day, after Today was looked at."""

    def __init__(self, phone: PhoneStore, clock: SetClock) -> None:
        self.phone, self.clock = phone, clock
        self.garden = name_garden(phone, "Hill", Hemisphere.NORTH).garden
        self.trees = add_row(phone, self.garden, 3).trees
        self.trap = ""
        self.done: dict[str, Callable[[], Any]] = {}

    def lives_through(self, day: date) -> list[Due]:
        """Everything that was to be done before a day is done; then Today is looked at."""
        for when in sorted(one for one in self.done if one < day.isoformat()):
            self.goes_to(date.fromisoformat(when))
            self.done.pop(when)()
        self.goes_to(day)
        return list(today_view(self.phone).due)

    def goes_to(self, day: date) -> None:
        """Live on this day, in the evening."""
        self.clock.time = datetime(day.year, day.month, day.day, 18, tzinfo=ROME)

    def on(self, day: str, *work: Callable[[], Any]) -> None:
        """What is done on a day of 2026."""
        self.done[f"2026-{day}"] = lambda: [one() for one in work]

    @property
    def today(self) -> str:
        return self.clock.time.date().isoformat()

    # -- what a keeper does
    def hang(self) -> None:
        self.trap = hang_trap(self.phone, "T1", self.garden).trap

    def count(self, moths: int, **more: Any) -> Callable[[], Any]:
        return lambda: self.phone.record(
            "trap_visit",
            {"trap": self.trap, "when": self.today, "state": "counted", "moths": moths, "ended": self.today}
            | more,
        )

    def stage(self, bbch: str) -> Callable[[], Any]:
        return lambda: self.phone.record("stage", {"garden": self.garden, "bbch": bbch, "when": self.today})

    def at_tree(self, kind: str, **said: Any) -> Callable[[], Any]:
        return lambda: self.phone.record(kind, {"tree": self.trees[0], "when": self.today} | said)

    def band(self) -> None:
        record_job(self.phone, "trunk_band", trees=self.trees)

    def rule(self, key: str, value: float) -> Callable[[], Any]:
        return lambda: set_due_rule(self.phone, key, value)


@pytest.fixture
def season(phone: PhoneStore, clock: SetClock) -> Season:
    """The season as it was planned: 2025 had trunk bands."""
    one = Season(phone, clock)
    record_job(phone, "trunk_band", trees=one.trees, told=Told("2025-06-10"))
    drops = one.at_tree("visit", round="drops")
    look, anew = one.at_tree("bag_check", still_on=12), {"liner_changed": True}
    lure = {"lure_type": "ordinary"}
    one.on("04-10", one.hang)
    one.on("04-13", one.count(0))
    one.on("04-16", one.count(0))
    one.on("04-19", one.count(1))
    one.on("04-22", one.count(2))
    one.on("04-29", one.count(5))
    one.on("05-02", one.stage("65"))
    one.on("05-06", one.count(10))
    one.on("05-10", one.stage("69"))
    one.on("05-11", one.count(2, **anew))
    one.on("05-18", one.count(31))
    one.on("05-22", one.count(0, **anew, **lure))
    one.on("05-28", one.at_tree("visit", round="bagging"))
    one.on("05-29", one.count(0))
    one.on("06-03", one.band)
    one.on("06-05", one.count(1))
    one.on("06-13", one.count(1), look, drops)
    one.on("06-20", one.count(1), drops)
    one.on("06-27", one.count(1, **anew), look, drops)
    one.on("07-03", one.count(0, **lure))
    one.on("07-10", one.count(1), drops)
    one.on("07-11", look)
    one.on("07-17", one.count(1), drops)
    one.on("07-24", one.count(1, **anew), drops)
    one.on("07-25", look)
    one.on("07-31", one.count(1, **lure), drops)
    one.on("08-07", one.count(1), drops)
    one.on("08-08", look)
    one.on("08-14", one.count(1), drops)
    one.on("08-16", one.band)
    one.on("08-21", one.count(1, **anew), drops)
    one.on("08-22", look)
    one.on("08-25", one.rule("trap_check_after_biofix", 10))
    one.on("08-31", one.count(1), drops)
    one.on("09-04", one.at_tree("pick"), lambda: switch_off(phone, "drops_round"))
    one.on("10-01", lambda: take_trap_down(phone, one.trap))
    return one


def test_today_shows_the_lines_that_were_written_down_by_hand(season: Season) -> None:
    TemperatureImport(season.phone, weather()).record()
    wanted = golden()
    assert len(wanted) >= 30
    for day, lines in wanted.items():
        assert [as_line(due) for due in season.lives_through(day)] == lines, str(day)


def as_line(due: Due) -> Line:
    """A due line as the table writes it; the reason must name the source that the mark says."""
    rule = published_rules()[due.rule]
    if due.reason.startswith("Your group's own figure: 10 days"):
        return (due.kind.value, due.rule, "own", due.sentence)
    if rule.mark.value == "common practice":
        assert "Common practice; no source was found." in due.reason
    else:
        assert rule.source in due.reason and ("Unchecked" in due.reason) == (rule.mark.value == "memory")
    return (due.kind.value, due.rule, rule.mark.value, due.sentence)


def test_without_temperatures_and_traps_only_the_ground_is_due(season: Season) -> None:
    season.goes_to(date(2026, 7, 2))
    assert [due.kind.value for due in today_view(season.phone).due] == ["drops"]


def test_in_the_south_bands_go_on_half_a_year_later(phone: PhoneStore, clock: SetClock) -> None:
    south = name_garden(phone, "Far", Hemisphere.SOUTH).garden
    trees = add_row(phone, south, 2).trees
    clock.time = datetime(2026, 12, 1, 18, tzinfo=ROME)
    record_job(phone, "trunk_band", trees=trees, told=Told("2026-02-10"))
    assert [due.sentence for due in today_view(phone).due] == ["Far: put the trunk bands on."]
    clock.time = datetime(2026, 11, 30, 18, tzinfo=ROME)
    assert today_view(phone).due == ()


def test_a_figure_of_the_groups_own_can_be_taken_back(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    phone.record("trap_visit", {"trap": trap, "when": "2026-09-07", "state": "counted", "moths": 0})
    assert [due.rule for due in today_view(phone).due if due.kind.value == "trap"] == ["trap_check_to_biofix"]
    set_due_rule(phone, "trap_check_to_biofix", 6)
    assert [due.rule for due in today_view(phone).due if due.kind.value == "trap"] == []
    set_due_rule(phone, "trap_check_to_biofix", None)
    assert [due.rule for due in today_view(phone).due if due.kind.value == "trap"] == ["trap_check_to_biofix"]
    switch_off(phone, "trap_check_to_biofix")
    line = next(one for one in rule_lines(phone) if one.key == "trap_check_to_biofix")
    assert (line.figure, line.own) == ("switched off", True) and "University of California" in line.source
    assert len(rule_lines(phone)) == len(published_rules())
    assert [due.rule for due in today_view(phone).due if due.kind.value == "trap"] == []
    set_due_rule(phone, "trap_check_to_biofix", 5)
    assert [due.days for due in today_view(phone).due if due.kind.value == "trap"] == [5]


def test_at_the_trap_the_group_s_own_figure_says_when_a_liner_is_full(phone: PhoneStore, trap: str) -> None:
    def said_after(moths: int) -> str:
        at_trap = TrapRound(phone).open(trap)
        return " ".join(at_trap.number(moths).notes)

    assert "from about 30 on" in said_after(31)
    set_due_rule(phone, "liner_moths", 40)
    assert "change it" not in said_after(31) and "from about 40 on" in said_after(41)
    switch_off(phone, "liner_moths")
    assert "change it" not in said_after(41)


def test_a_rule_that_nobody_knows_is_refused(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="no rule"):
        set_due_rule(phone, "moon_phase", 3)

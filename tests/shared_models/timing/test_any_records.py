"""Whatever valid records a group holds, its timing and its due work can be told, in any order of the entries."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from shared_models.due_words import due_reason, due_sentence
from shared_models.entries import Entry
from shared_models.records.timing import Stage
from shared_models.reference.work_rules import WorkRules, published_rules
from shared_models.timing.bloom import stages_seen
from shared_models.timing.due_work import GardenToday, due_work
from shared_models.timing.garden_timing import GardenInSeason, season_timing
from shared_models.timing.ground import TimingGround, from_entries
from shared_models.timing.work_done import WorkDone, traps_as_they_hang
from shared_models.timing_text import timing_as_text
from tests.builders import FieldPhone
from tests.strategies import fields_of, law

PHONE = FieldPhone()
NORTH, SOUTH = PHONE.garden("North"), PHONE.garden("South", "south")
TREE = PHONE.tree(NORTH, "1", species="MABSD")
TRAP = PHONE.trap(NORTH)
ABOUT = ("day_temperature", "season_setting", "stage", "trap_visit", "placement", "graft")
few = settings(law, max_examples=40)
DAYS = st.dates(date(2025, 6, 1), date(2027, 7, 31))


@st.composite
def told(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A valid record about one of the gardens, its tree or its trap, on a day near the season."""
    kind = draw(st.sampled_from(ABOUT))
    fields = draw(fields_of(kind))
    here = {"garden": draw(st.sampled_from([NORTH.rec, SOUTH.rec])), "tree": TREE.rec, "trap": TRAP.rec}
    fields |= {name: value for name, value in here.items() if name in fields or name == "garden"}
    if "when" in fields:
        day = draw(DAYS).isoformat()
        fields["when"] = day if kind == "day_temperature" else draw(st.sampled_from([day, fields["when"]]))
    if kind == "season_setting":
        fields["season"] = draw(st.sampled_from(["2025", "2026", "2026/27"]))
    if kind == "placement":
        fields["from_day"] = draw(DAYS).isoformat()
    return kind, fields


histories: SearchStrategy[list[tuple[str, dict[str, Any]]]] = st.lists(told(), max_size=25)


def entries_of(history: list[tuple[str, dict[str, Any]]]) -> list[Entry]:
    phone = FieldPhone()
    return [NORTH, SOUTH, TREE, TRAP, *(phone.makes(kind, fields) for kind, fields in history)]


@pytest.mark.parametrize("season", ["2026", "2026/27"])
@few
@given(history=histories, day=DAYS)
def test_timing_is_told_of_any_records_and_in_any_order(
    season: str, history: list[tuple[str, dict[str, Any]]], day: date
):
    entries = entries_of(history)
    found = season_timing(from_entries(entries, season), day)
    assert len(found.gardens) == 1 and timing_as_text(found)
    assert season_timing(from_entries(entries[::-1], season), day) == found
    for garden in found.gardens:
        for event in (one for clock in garden.clocks for one in clock.events):
            assert event.earliest is None or event.latest is None or event.earliest <= event.latest


@few
@given(
    history=histories,
    day=DAYS,
    own=st.dictionaries(st.sampled_from(sorted(published_rules())), st.none() | st.floats(0, 5000)),
    done=st.builds(
        WorkDone,
        trees=st.integers(0, 3),
        drops=st.none() | DAYS,
        bagging=st.none() | DAYS,
        picked=st.none() | DAYS,
        bands_on=st.none() | DAYS,
        bands=st.booleans(),
    ),
)
def test_due_work_is_told_of_any_records_and_rules(
    history: list[tuple[str, dict[str, Any]]], day: date, own: dict[str, float | None], done: WorkDone
):
    ground: TimingGround = from_entries(entries_of(history), "2026")
    garden = ground.orchard.gardens[NORTH.rec]
    one = GardenInSeason(ground, garden, day)
    here = GardenToday(
        season=one.season,
        day=day,
        timing=one.timing(),
        traps=[trap for trap in traps_as_they_hang(ground.season) if trap.garden == NORTH.rec],
        stages=stages_seen(ground.season.all(Stage), ground.orchard, NORTH.rec, day),
        done=done,
        rules=WorkRules(own),
        warmth=one.warmth(14),
        flight_due=day,
    )
    for line in due_work(here):
        assert due_sentence(line, "North", "T1") and due_reason(line)
        assert own.get(line.rule.key, 0) is not None, "a rule that is switched off asks for nothing"

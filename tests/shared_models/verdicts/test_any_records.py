"""Whatever valid records a group holds, its season and its years can be told: report, text, tables, pages; in any order."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from shared_models.entries import Entry
from shared_models.season.choice import Counted, Damage
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years_report import years_report
from shared_models.years_text import years_as_text
from tests.builders import FieldPhone
from tests.shared_models.season.seasons import SmallSeason
from tests.shared_models.season.test_choice import report_of
from tests.shared_models.verdicts.test_degenerate import NO_NUMBER, told
from tests.strategies import fields_of, law

pytestmark = pytest.mark.needs_server  # the page is the server’s

PHONE = FieldPhone()
NORTH, SOUTH = PHONE.garden("North"), PHONE.garden("South", "south")
TREES = [PHONE.tree(garden, str(number)) for number, garden in enumerate([NORTH, NORTH, NORTH, SOUTH])]
PICKS = [PHONE.pick(tree, when="2026-09-10") for tree in TREES]
VISITS = [
    PHONE.visit(tree, when="2026-09-10", pick=pick.rec) for tree, pick in zip(TREES, PICKS, strict=True)
]
TRAP = PHONE.trap(NORTH)
STANDING = [NORTH, SOUTH, *TREES, *PICKS, *VISITS, TRAP]
ABOUT = (
    *("number", "adjustment", "mark", "pick", "visit") * 2,
    *("job", "plan_line", "left_out", "graft", "same_tree", "bag_check", "double_score", "cut_sample"),
    *("planned_contrast", "method", "trap_visit", "placement"),
)
SEASONS = ("2025", "2026", "2025/26", "2026/27")
METHODS = ("bagging", "granulovirus", "drops_round", "mating_disruption", "untreated", "own_thing")
DAYS = st.dates(date(2025, 6, 1), date(2027, 2, 28)).map(date.isoformat)
LINKS = {
    **dict.fromkeys(("tree", "a", "b"), TREES),
    "visit": VISITS,
    "pick": PICKS,
    "garden": [NORTH, SOUTH],
    "trap": [TRAP],
}


@st.composite
def said(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A valid record about one of the trees, its fruit, its garden or the trap."""
    kind = draw(st.sampled_from(ABOUT))
    fields = draw(fields_of(kind))
    for name, known in LINKS.items():
        if isinstance(fields.get(name), str):
            fields[name] = draw(st.sampled_from(known)).rec
    if "trees" in fields:
        fields["trees"] = draw(st.lists(st.sampled_from([tree.rec for tree in TREES]), max_size=4))
    if "when" in fields:
        fields["when"] = draw(DAYS | st.just(fields["when"]))
    if fields.get("season") is not None:
        fields["season"] = draw(st.sampled_from(SEASONS))
    for name in ("method", "with_method", "key"):
        if isinstance(fields.get(name), str):
            fields[name] = draw(st.sampled_from(METHODS))
    return kind, fields


histories: SearchStrategy[list[tuple[str, dict[str, Any]]]] = st.lists(said(), max_size=25)


def season_of(history: list[tuple[str, dict[str, Any]]]) -> SmallSeason:
    """The standing records, and what was said of them."""
    season, phone = SmallSeason(), FieldPhone()
    season.entries[:] = [*STANDING, *(phone.makes(kind, fields) for kind, fields in history)]
    return season


@settings(law, max_examples=60)
@given(history=histories, key=st.sampled_from(SEASONS))
def test_a_season_of_any_records_is_told_in_words_tables_and_a_page(
    history: list[tuple[str, dict[str, Any]]], key: str
):
    season = season_of(history)
    report = season.report(key)
    assert f"Season {key}" in told(report)
    for line in report.mixes:
        for rate in (line.picked, line.picked_deep, line.all_fruit):
            assert rate is None or 0 <= rate.low <= rate.rate <= rate.high <= 1
    backwards = SmallSeason()
    backwards.entries[:] = season.entries[::-1]
    assert backwards.report(key) == report


@settings(law, max_examples=30)
@given(history=histories)
def test_every_part_and_the_years_of_any_records_are_told(history: list[tuple[str, dict[str, Any]]]):
    season = season_of(history)
    for choice in ({"damage": Damage.DEEP}, {"fruit": Counted.PICKED}, {"garden": NORTH.rec}):
        assert told(report_of(season, **choice))
    entries: list[Entry] = season.entries
    for half, keys in ((Hemisphere.NORTH, SEASONS[:2]), (Hemisphere.SOUTH, SEASONS[2:])):
        found = years_report([from_entries(entries, key) for key in keys], half)
        assert "NaN" not in found.model_dump_json()
        assert not {"nan", "inf", "infinity"} & set(NO_NUMBER.findall(years_as_text(found).casefold()))

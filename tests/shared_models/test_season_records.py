"""Which records belong to a season, and which are listed as of no season yet."""

from datetime import UTC, datetime

import pytest

from shared_models.records.gardens import Garden, Graft, Note, Tree
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.tallies import Adjustment, NumberAtOnce, Pick, Visit
from shared_models.records.traps import TrapVisit
from shared_models.season_records import from_entries
from tests.builders import FieldPhone


@pytest.fixture
def phone():
    """A phone in the north."""
    return FieldPhone()


@pytest.fixture
def garden(phone):
    """A northern garden."""
    return phone.garden()


@pytest.fixture
def tree(phone, garden):
    """Its tree."""
    return phone.tree(garden)


def ids(records):
    """The ids of records."""
    return {record.rec for record in records}


def test_what_stands_there_belongs_to_every_season(phone, garden, tree):
    graft = phone.graft(tree, "Goldstern")
    for key in ("1999", "2026", "2026/27"):
        season = from_entries([garden, tree, graft], key)
        assert [ids(season.all(kind)) for kind in (Garden, Tree, Graft)] == [
            {garden.rec},
            {tree.rec},
            {graft.rec},
        ]


@pytest.mark.parametrize(
    ("when", "key"),
    [
        ("2026-01-01", "2026"),
        ("2026-12-31", "2026"),
        ("2026-12-31T23:59:00-10:00", "2026"),
        ("2027-01-01T00:00:00+14:00", "2027"),
        ("2026-06-01/2026-06-05", "2026"),
    ],
)
def test_a_happening_belongs_to_the_season_of_its_field_day(phone, garden, tree, when, key):
    visit = phone.visit(tree, when=when)
    for season in ("2025", "2026", "2027", "2026/27"):
        expected = {visit.rec} if season == key else set()
        found = from_entries([garden, tree, visit], season)
        assert (ids(found.all(Visit)), found.unplaced) == (expected, [])


def test_a_southern_garden_has_seasons_of_two_years(phone):
    south = phone.garden(hemisphere="south")
    tree = phone.tree(south)
    before, after = phone.pick(tree, when="2026-06-30"), phone.pick(tree, when="2026-07-01")
    entries = [south, tree, before, after]
    assert ids(from_entries(entries, "2025/26").all(Pick)) == {before.rec}
    assert ids(from_entries(entries, "2026/27").all(Pick)) == {after.rec}
    assert from_entries(entries, "2026").all(Pick) == []


def test_a_season_given_by_hand_holds_against_the_day(phone, garden, tree):
    stored = phone.visit(tree, when="2027-01-15", season="2026")
    mark = phone.mark(stored, "sting")
    entries = [garden, tree, stored, mark]
    assert len(from_entries(entries, "2026").tallies) == 1
    assert from_entries(entries, "2027").all(Visit) == []


@pytest.mark.parametrize("when", ["unknown", "2026-12-30/2027-01-02"])
def test_a_day_that_settles_no_season_is_listed_and_stands_in_no_table(phone, garden, tree, when):
    visit = phone.visit(tree, when=when)
    found = from_entries([garden, tree, visit, phone.mark(visit, "clean")], "2026")
    assert (ids(found.unplaced), found.all(Visit), found.tallies) == ({visit.rec}, [], [])


def test_a_record_whose_garden_is_not_here_is_never_assumed_north(phone, garden, tree):
    visit = phone.visit(tree, when="2026-08-20")
    assert ids(from_entries([tree, visit], "2026").unplaced) == {visit.rec}
    assert ids(from_entries([visit], "2026").unplaced) == {visit.rec}
    assert from_entries([visit], "2025").unplaced == []
    assert ids(from_entries([garden, tree, visit], "2026").all(Visit)) == {visit.rec}


def test_every_kind_of_happening_finds_its_garden(phone, garden, tree):
    trap = phone.trap(garden)
    found = [
        phone.visit(tree),
        phone.pick(tree),
        phone.job("netting", tree),
        phone.job("mating_disruption", garden=garden.rec),
        phone.trap_visit(trap, 3),
        phone.makes("note", {"text": "windfall", "about": tree.rec, "when": phone.now()}),
        phone.makes("note", {"text": "hail", "about": garden.rec, "when": phone.now()}),
        phone.makes(
            "day_temperature",
            {"garden": garden.rec, "when": "2026-08-20", "lowest": 9, "highest": 21, "unit": "C"},
        ),
    ]
    season = from_entries([garden, tree, trap, *found], "2026")
    placed = [r for kind in (Visit, Pick, Job, TrapVisit, Note, DayTemperature) for r in season.all(kind)]
    assert ids(placed) == ids(found)
    assert season.unplaced == []


def test_a_job_on_several_trees_finds_the_first_tree_that_is_here(phone, garden, tree):
    elsewhere = FieldPhone().tree(garden, "not here")
    job = phone.job("netting", elsewhere, tree)
    assert ids(from_entries([garden, tree, job], "2026").all(Job)) == {job.rec}


def test_numbers_and_adjustments_belong_to_the_season_of_their_visit(phone, garden, tree):
    visit, last_year = phone.visit(tree), phone.visit(tree, when="2025-08-20")
    number, adjustment = phone.number(visit, 10, "clean"), phone.adjustment(visit, -2, "clean")
    old = [phone.number(last_year, 5, "sting"), phone.adjustment(last_year, 1, "sting")]
    season = from_entries([garden, tree, visit, last_year, number, adjustment, *old], "2026")
    assert ids(season.all(NumberAtOnce)) == {number.rec}
    assert ids(season.all(Adjustment)) == {adjustment.rec}
    assert [(tally.n, tally.marks) for tally in season.tallies] == [(-2.0, "clean"), (10.0, "clean")]


def test_from_to_counts_as_its_middle_and_is_marked_estimated(phone, garden, tree):
    visit = phone.visit(tree)
    number = phone.makes("number", {"visit": visit.rec, "low": 10, "high": 20, "marks": ["damaged"]})
    [tally] = from_entries([garden, tree, visit, number], "2026").tallies
    assert (tally.n, tally.estimated, tally.marks) == (15.0, True, "damaged")


def test_undone_records_and_their_marks_stay_out(phone, garden, tree):
    visit = phone.visit(tree)
    mark, number = phone.mark(visit, "clean"), phone.number(visit, 4, "clean")
    entries = [garden, tree, visit, mark, number]
    assert from_entries([*entries, phone.undoes(mark), phone.undoes(number)], "2026").tallies == []
    undone = from_entries([*entries, phone.undoes(visit)], "2026")
    assert (undone.tallies, undone.all(Visit), undone.all(NumberAtOnce)) == ([], [], [])


def test_a_visit_moved_to_another_tree_takes_its_marks_along(phone, garden, tree):
    other = phone.tree(garden, "2")
    visit = phone.visit(tree)
    entries = [garden, tree, other, visit, phone.mark(visit, "clean"), phone.edits(visit, tree=other.rec)]
    season = from_entries(entries, "2026")
    assert [record.tree for record in season.all(Visit)] == [other.rec]
    assert [tally.visit for tally in season.tallies] == [visit.rec]


def test_what_a_newer_version_wrote_is_not_read(phone, garden, tree):
    newer = phone.visit(tree).model_copy(update={"v": 99})
    season = from_entries([garden, tree, newer], "2026")
    assert (season.all(Visit), season.unplaced) == ([], [])


def test_entries_made_by_a_phone_with_a_wrong_clock_keep_their_season(garden, tree):
    lost_its_date = FieldPhone(wall=datetime(1970, 1, 1, tzinfo=UTC))
    visit = lost_its_date.visit(tree, when="2026-08-20")
    assert ids(from_entries([garden, tree, visit], "2026").all(Visit)) == {visit.rec}

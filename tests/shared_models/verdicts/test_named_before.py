"""Named before scoring: what is in force now must have been said then, on a phone and on a server alike."""

from contextlib import closing
from datetime import datetime, timedelta

import pytest
from sqlalchemy import create_engine

from mobile.storage.phone_store import PhoneStore
from shared_models.calculations.verdict import Grade
from shared_models.entries import Entry, seal
from shared_models.fold import fold
from shared_models.identifiers import derived_id
from shared_models.records.gardens import PlanLine
from shared_models.records.kinds import record_of
from shared_models.reports import season_report
from shared_models.season_records import from_entries
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP
from shared_models.verdicts.named_before import given_up, namings
from tests.builders import SUMMER
from tests.shared_models.season.seasons import SmallSeason, codes
from tests.shared_models.verdicts.test_contrasts_of_a_season import main_line, season_of

AFTER_SCORING = datetime(2026, 10, 1, 9, 0, tzinfo=SUMMER)
BEFORE_SCORING = datetime(2026, 8, 25, 9, 0, tzinfo=SUMMER)


def planned(season: SmallSeason) -> Entry:
    """The entry that names the contrast."""
    return next(entry for entry in season.entries if entry.kind == "planned_contrast")


def changed(season: SmallSeason, at: datetime, /, **fields: object) -> SmallSeason:
    """The contrast edited at a time."""
    season.phone.wall = at
    season.keep(season.phone.edits(planned(season), **fields))
    return season


def another_named(season: SmallSeason) -> SmallSeason:
    """A second contrast, of a method that nobody used, named before scoring."""
    season.phone.wall = BEFORE_SCORING
    said = {"season": "2026", "with_method": "netting", "when": "2026-08-01"}
    season.keep(season.phone.makes("planned_contrast", said))
    return season


def test_what_is_named_after_scoring_by_an_edit_is_found_afterwards():
    season = season_of(named=None)
    season.phone.wall = BEFORE_SCORING
    said = {"season": "2026", "with_method": "netting", "when": "2026-08-01"}
    season.keep(season.phone.makes("planned_contrast", said))
    changed(season, AFTER_SCORING, with_method="granulovirus")
    line = main_line(season)
    assert (line.before_scoring, line.grade) == (False, Grade.LEANING)
    assert "FOUND_AFTERWARDS" in codes(line.warnings)


@pytest.mark.parametrize(
    "fields", [{"with_method": "granulovirus"}, {"season": "2026"}, {"a": ["netting"]}, {"_del": False}]
)
def test_any_part_of_it_that_is_said_after_scoring_makes_it_late(fields):
    assert main_line(season_of()).before_scoring
    assert not main_line(changed(season_of(), AFTER_SCORING, **fields)).before_scoring


@pytest.mark.parametrize("fields", [{"reason": "clearer"}, {"when": "2026-08-02"}])
def test_what_says_nothing_of_the_comparison_may_be_added_later(fields):
    assert main_line(changed(season_of(), AFTER_SCORING, **fields)).before_scoring


def test_a_change_before_scoring_leaves_it_named():
    assert main_line(changed(season_of(), BEFORE_SCORING, with_method="granulovirus")).before_scoring


def test_a_later_day_of_naming_holds_and_an_earlier_one_than_the_entry_never_does():
    season = season_of(named=None)
    season.phone.wall = AFTER_SCORING
    said = {"season": "2026", "with_method": "granulovirus", "when": "2026-05-01"}
    season.keep(season.phone.makes("planned_contrast", said))
    assert not main_line(season).before_scoring
    assert not main_line(changed(season_of(), BEFORE_SCORING, when="2026-09-20")).before_scoring


def test_a_slow_clock_that_has_seen_the_scores_dates_its_changes_after_them():
    season = season_of()
    season.phone.wall = AFTER_SCORING
    late = season.keep(season.phone.makes("note", {"text": "seen", "when": "2026-10-01"}))
    edit = PhoneWithSlowClock(season).edits(late)
    season.keep(edit)
    assert not main_line(season).before_scoring


class PhoneWithSlowClock:
    """A phone whose wall clock stands in August and that has received an entry of October, as its pen makes ids."""

    def __init__(self, season: SmallSeason) -> None:
        self._season = season

    def edits(self, seen: Entry) -> Entry:
        """An edit of the contrast, its id later than every stamp seen."""
        phone = self._season.phone
        phone.wall = datetime.fromtimestamp((int(seen.stamp, 16) >> 16) / 1000 + 1, tz=SUMMER)
        made = phone.edits(planned(self._season), with_method="granulovirus")
        return made.model_copy(update={"entered": "2026-08-20T09:00:00+02:00"})


@pytest.mark.parametrize(
    "gone",
    [{"_del": True}, {"with_method": "kaolin_film"}, {"with_method": "netting"}, {"season": "2027"}],
)
def test_a_named_comparison_that_is_given_up_after_scoring_still_counts_among_the_named(gone):
    season = another_named(season_of())
    both = main_line(season)
    second = [entry for entry in season.entries if entry.kind == "planned_contrast"][1]
    season.phone.wall = AFTER_SCORING
    season.keep(season.phone.edits(second, **gone))
    line = main_line(season)
    assert line.holm_p == both.holm_p and line.before_scoring
    assert "GIVEN_UP" in codes(line.warnings) and "MULTIPLE" in codes(line.warnings)


def test_one_that_is_withdrawn_before_scoring_is_forgotten():
    season = another_named(season_of())
    second = [entry for entry in season.entries if entry.kind == "planned_contrast"][1]
    season.phone.wall = BEFORE_SCORING
    season.keep(season.phone.undoes(second))
    line = main_line(season)
    assert line.holm_p == line.p and not {"GIVEN_UP", "MULTIPLE"} & codes(line.warnings)


def test_one_that_was_meant_for_next_season_is_none_of_this_one():
    season = season_of()
    season.phone.wall = BEFORE_SCORING
    said = {"season": "2027", "with_method": "netting", "when": "2026-08-01"}
    season.keep(season.phone.makes("planned_contrast", said))
    assert not {"GIVEN_UP", "MULTIPLE"} & codes(main_line(season).warnings)


def test_scores_of_a_day_not_known_were_there_when_they_were_entered():
    season = season_of(treated=1, untreated=1)
    tree = next(entry for entry in season.entries if entry.kind == "tree")
    season.phone.wall = datetime(2026, 8, 19, 9, 0, tzinfo=SUMMER)
    visit = season.keep(season.phone.visit(tree, when="unknown", season="2026"))
    season.keep(season.phone.number(visit, 5, "clean"))
    assert not main_line(season).before_scoring


def test_a_declaration_that_is_moved_to_another_tree_after_scoring_is_late():
    season = season_of()
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    declared = [entry for entry in season.entries if entry.kind == "plan_line"]
    assert "DECLARED_LATE" not in codes(season.report().warnings)
    season.phone.wall = AFTER_SCORING
    season.keep(season.phone.edits(declared[0], tree=trees[6].rec, left_untreated=True))
    assert "DECLARED_LATE" in codes(season.report().warnings)
    assert main_line(season).grade is Grade.LEANING


def test_a_record_of_a_derived_id_is_not_taken_for_edited_and_an_edit_of_it_is_seen():
    season = season_of()
    season.phone.wall = AFTER_SCORING
    tree = next(entry for entry in season.entries if entry.kind == "tree")
    rec = derived_id(0, "a table", tree.rec)
    made = season.phone.untreated(tree, when="2026-01-01/2026-09-10").model_copy(update={"rec": rec})
    line = record_of(fold([made]))
    assert isinstance(line, PlanLine) and line.last_word == line.entered
    season.phone.wall += timedelta(days=1)
    edited = record_of(fold([made, season.phone.edits(made, left_untreated=True)]))
    assert isinstance(edited, PlanLine) and edited.last_word > edited.entered


def test_a_phones_file_says_the_same_as_the_bare_entries(tmp_path):
    season = changed(another_named(season_of()), AFTER_SCORING, with_method="granulovirus")
    second = [entry for entry in season.entries if entry.kind == "planned_contrast"][1]
    season.keep(season.phone.undoes(second))
    with closing(PhoneStore(tmp_path / "phone.sqlite")) as phone:
        phone.begin("Ada", "Europe/Rome")
        engine = create_engine(f"sqlite:///{tmp_path / 'phone.sqlite'}")
        with engine.begin() as connection:
            entry_log.append(connection, OWN_GROUP, [seal(entry) for entry in season.entries])
            state.refold_touched(connection, OWN_GROUP)
        engine.dispose()
        read, records = phone.season("2026"), from_entries(season.entries, "2026")
    assert namings(read) == namings(records) and given_up(read) == given_up(records) == 2
    assert season_report(read).contrasts == season_report(records).contrasts

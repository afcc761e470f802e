"""Fruit scored twice and fruit cut open are told beside the rates and never change one."""

import pytest

from shared_models.report_text import as_text
from tests.builders import FieldPhone
from tests.shared_models.season.seasons import SmallSeason, codes

FIRST = ["clean"] * 15 + ["sting"] * 5
SECOND = ["clean"] * 13 + ["sting"] * 7


@pytest.fixture
def season():
    """One scored tree, and two people."""
    made = SmallSeason()
    made.untreated(*made.trees(1))
    made.picked(tree_of(made), 30, 3)
    made.keep(made.phone.person("Ada"))
    return made


def tree_of(season):
    """The tree of the season."""
    return next(entry for entry in season.entries if entry.kind == "tree")


def scored_twice(season, first, second, /, **more):
    """A double score by the phone's person and Ada."""
    ada = next(entry for entry in season.entries if entry.kind == "person")
    said = {"when": "2026-09-10", "tree": tree_of(season).rec, "second": ada.rec}
    said |= {"first_marks": first, "second_marks": second, **more}
    return season.keep(season.phone.makes("double_score", said))


def cut(season, fruit, found):
    """Clean-looking fruit cut open."""
    said = {"when": "2026-09-10", "tree": tree_of(season).rec, "cut": fruit, "found": found}
    return season.keep(season.phone.makes("cut_sample", said))


def test_agreement_of_two_people_is_shown_and_no_rate_changes(season):
    before = season.report()
    scored_twice(season, FIRST, SECOND)
    report = season.report()
    [line] = report.scoring.agreement
    # The worked example of `calculations.agreement`: 18 of 20 alike, kappa 0.765.
    assert (line.fruit, line.equal) == (20, 0.9) and line.kappa == pytest.approx(0.765, abs=5e-4)
    assert report.mixes == before.mixes and report.scored == before.scored
    assert "SCORERS_DISAGREE" not in codes(report.warnings) and "Cohen's kappa" in as_text(report)


def test_who_was_first_makes_no_difference_and_scores_of_a_pair_are_put_together(season):
    scored_twice(season, FIRST, SECOND)
    once = season.report().scoring.agreement[0]
    ada = next(entry for entry in season.entries if entry.kind == "person")
    scored_twice(season, SECOND, FIRST, done_by=ada.rec, second=season.phone.person_id)
    [both] = season.report().scoring.agreement
    assert both.fruit == 40 and both.equal == once.equal and both.kappa == once.kappa


def test_people_who_disagree_are_told_so(season):
    scored_twice(season, ["clean"] * 10, ["clean"] * 7 + ["sting"] * 3)
    [warned] = [one for one in season.report().warnings if one.code == "SCORERS_DISAGREE"]
    assert warned.count == 70 and "Ada" in warned.about


def test_unequal_lists_and_one_person_twice_are_left_aside(season):
    scored_twice(season, ["clean"] * 3, ["clean"] * 2)
    scored_twice(season, ["clean"], ["sting"], second=season.phone.person_id)
    assert season.report().scoring.agreement == []


def test_what_cutting_found_is_added_up_and_warned_of(season):
    cut(season, 20, 0)
    none = season.report()
    # Nothing found in 20: 1 − 0.05^(1/20) = 13.9 % one-sided.
    assert none.scoring.cut.high == pytest.approx(0.1391, abs=1e-4)
    assert "HIDDEN_ENTRIES" not in codes(none.warnings)
    cut(season, 30, 2)
    report = season.report()
    assert (report.scoring.cut.cut, report.scoring.cut.found, report.scoring.cut.trees) == (50, 2, 1)
    assert "HIDDEN_ENTRIES" in codes(report.warnings) and report.mixes == none.mixes


def test_a_double_score_of_a_garden_belongs_to_its_season():
    season = SmallSeason()
    phone: FieldPhone = season.phone
    said = {
        "when": "2026-09-10",
        "garden": season.garden.rec,
        "second": season.garden.rec,
        "first_marks": ["clean"],
        "second_marks": ["clean"],
    }
    season.keep(phone.makes("double_score", said))
    assert len(season.report().scoring.agreement) == 1 and season.report().unplaced == []
    assert season.report("2027").scoring.agreement == []

"""Several seasons in words: the sentences of the report over the years, and one tree's own."""

from __future__ import annotations

import pytest

from mobile.workflows.years_view import YearsView, years_of_tree, years_view
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years.parts import YearsReport
from shared_models.years_report import years_report
from shared_models.years_text import years_as_text
from tests.shared_models.years.years_of import SmallYears


@pytest.fixture
def report() -> YearsReport:
    """Two seasons of eight trees, half of them treated."""
    years = SmallYears()
    trees = years.planted(8)
    for year in ("2025", "2026"):
        years.named(year)
        years.year(year, trees[:4], trees[4:], (2, 12))
    return years_report([from_entries(years.entries, key) for key in ("2025", "2026")], Hemisphere.NORTH)


@pytest.fixture
def view(report: YearsReport) -> YearsView:
    """As it is shown."""
    return years_view(report)


def test_every_sentence_is_one_of_the_report_in_its_order(report, view):
    text = years_as_text(report)
    told = [sentence for line in view.contrasts for sentence in line.sentences]
    places = [text.index(sentence) for sentence in told]
    assert places == sorted(places) and len(told) >= 4
    assert all(tree.name in text and tree.opinion in text for tree in view.trees) and len(view.trees) == 8
    assert view.seasons == ("2025", "2026")


def test_a_comparison_of_two_seasons_is_graded_and_drawn(view):
    (line, *_others) = view.contrasts
    assert line.grade is not None and line.grade_name in " ".join(line.sentences)
    assert line.drawing is not None and line.drawing.told == " ".join(line.sentences)


def test_one_tree_has_a_sentence_for_each_season(report, view):
    tree = report.trees[0].tree
    found = years_of_tree(view, tree)
    assert found is not None and len(found.years) == 2
    assert found.years[0].startswith("2025") and found.years[1].startswith("2026")
    assert years_of_tree(view, "no tree") is None

"""Seasons at the edge: very many trees, no crop totals, no days, everything alike. A sensible sentence, never a number gone wrong."""

import csv
import io
import json
import re

import pytest

from shared_models.calculations.verdict import Grade, Missing
from shared_models.report_csv import TABLES, table
from shared_models.report_text import as_text
from shared_models.season.choice import Counted, Damage
from shared_models.season.report_parts import SeasonReport
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years_report import years_report
from shared_models.years_text import years_as_text
from tests.shared_models.season.seasons import SmallSeason, codes
from tests.shared_models.season.test_choice import report_of
from tests.shared_models.verdicts.test_contrasts_of_a_season import season_of

pytestmark = pytest.mark.needs_server  # the page is the server’s

NO_NUMBER = re.compile(r"\b(nan|inf|infinity|none|null)\b", re.IGNORECASE)


def told(report: SeasonReport) -> str:
    """Everything that the report says in words, in tables and on its page; fails where a number has gone wrong."""
    written = report.model_dump_json()
    assert "NaN" not in written and "Infinity" not in written and json.loads(written)
    tables = [table(report, name) for name in TABLES]
    for one in tables:
        cells = [cell for row in csv.reader(io.StringIO(one, newline="")) for cell in row]
        assert not any(cell in ("nan", "inf", "None") for cell in cells)
    from server.web.season_page import season_file

    page = season_file(report, "2026-11-27T12:00:00Z", "Edge (invented)")
    assert page.rstrip().endswith("</html>") and not {"nan", "inf"} & set(NO_NUMBER.findall(page))
    text = as_text(report)
    gone_wrong = set(NO_NUMBER.findall(text)) - {"none"}  # "none found" is a word here
    assert not gone_wrong
    return text


def no_totals() -> SmallSeason:
    """Nobody noted how many were picked in all."""
    season = SmallSeason()
    for number, tree in enumerate(season.trees(8)):
        season.job("granulovirus", tree) if number < 4 else season.untreated(tree)
        for day in ("2026-09-01", "2026-09-20"):
            season.picked(tree, 20, 2 if number < 4 else 8, day=day, all_scored="not_said")
    return season


def no_days() -> SmallSeason:
    """Nobody knows any day."""
    season = SmallSeason()
    for number, tree in enumerate(season.trees(8)):
        if number < 4:
            season.job("granulovirus", tree, day="unknown", season="2026")
        else:
            season.untreated(tree, day="unknown")
        season.keep(season.phone.pick(tree, when="unknown", season="2026", all_scored="yes"))
        visit = season.keep(season.phone.visit(tree, when="unknown", season="2026"))
        season.keep(season.phone.number(visit, 20, "clean"))
        season.keep(season.phone.number(visit, 3, "sting"))
    return season


def one_tree_of_everything() -> SmallSeason:
    """One tree that had every method, was bagged, left untreated and left out."""
    season = SmallSeason()
    [tree] = season.trees(1)
    for method in ("granulovirus", "netting", "drops_round", "mating_disruption", "pruning"):
        season.job(method, tree)
    season.untreated(tree)
    season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=50))
    for cover in ("none", "bagged", "bare"):
        season.picked(tree, 3, 1, cover=cover)
    said = {"tree": tree.rec, "season": "2026", "reason": "hail", "when": "unknown"}
    season.keep(season.phone.makes("left_out", said))
    return season


def nothing_but_not_sure() -> SmallSeason:
    """Fruit was looked at, and nobody was sure of any."""
    season = SmallSeason()
    for tree in season.trees(2):
        season.untreated(tree)
        visit = season.keep(season.phone.visit(tree, when="2026-09-10"))
        season.keep(season.phone.number(visit, 20, "not_sure"))
    return season


def taken_back() -> SmallSeason:
    """A tally that others corrected down to less than none."""
    season = SmallSeason()
    [tree] = season.trees(1)
    season.untreated(tree)
    visit = season.keep(season.phone.visit(tree, when="2026-09-10"))
    season.keep(season.phone.number(visit, 3, "sting"))
    season.keep(season.phone.adjustment(visit, -9, "sting"))
    return season


EDGES = {
    "no crop totals": no_totals,
    "no days": no_days,
    "one tree of everything": one_tree_of_everything,
    "nothing but not sure": nothing_but_not_sure,
    "a tally taken back": taken_back,
    "all clean": lambda: season_of(damaged=(0, 0), step=0),
    "all damaged": lambda: season_of(damaged=(30, 30), step=0),
    "one against very many": lambda: season_of(1, 40),
    "two against two": lambda: season_of(2, 2),
}


@pytest.mark.parametrize("name", list(EDGES))
def test_a_season_at_the_edge_is_told_in_sentences(name):
    season = EDGES[name]()
    report = season.report()
    assert "Season 2026" in told(report)
    for line in report.contrasts:
        assert line.grade is not Grade.FIRM or line.lock_p is not None
    for choice in ({"damage": Damage.DEEP}, {"fruit": Counted.PICKED}, {"cultivar": "Dawnlet"}):
        told(report_of(season, **choice))


@pytest.mark.parametrize("name", list(EDGES))
def test_years_of_such_a_season_are_told_too(name):
    records = [from_entries(EDGES[name]().entries, key) for key in ("2025", "2026")]
    report = years_report(records, Hemisphere.NORTH)
    assert not set(NO_NUMBER.findall(years_as_text(report))) - {"none", "None"}
    assert "NaN" not in report.model_dump_json()


def test_without_totals_nothing_is_said_of_all_fruit_and_nothing_of_fruit_saved():
    report = no_totals().report()
    assert all(line.all_fruit is None for line in report.mixes)
    assert all("TOTAL_UNKNOWN" in codes(line.warnings) for line in report.mixes)
    assert all(line.fruit_saved is None for line in report.contrasts)


def test_fruit_that_nobody_was_sure_of_is_in_no_rate_and_is_shown():
    report = nothing_but_not_sure().report()
    assert report.mixes == [] and report.scored.not_sure == 40
    assert "MUCH_NOT_SURE" in codes(report.warnings)


def test_two_trees_a_side_are_never_more_than_cannot_be_told():
    line = next(one for one in season_of(2, 2).report().contrasts if one.method == "granulovirus")
    assert line.grade is Grade.CANT_TELL and line.settle is not None and line.settle.more_trees > 0


def test_five_thousand_trees_are_reported_and_compared():
    season = SmallSeason()
    planned = {"season": "2026", "with_method": "granulovirus", "when": "2026-08-01"}
    season.keep(season.phone.makes("planned_contrast", planned))
    for number, tree in enumerate(season.trees(5000)):
        season.keep(season.phone.graft(tree, f"Cultivar {number % 7}"))
        season.job("granulovirus", tree) if number % 2 else season.untreated(tree)
        season.picked(tree, 20, number % 4 if number % 2 else 2 + number % 7)
    report = season.report()
    line = next(one for one in report.contrasts if one.method == "granulovirus")
    assert (line.side_a.trees, line.side_b.trees, len(line.strata)) == (2500, 2500, 7)
    assert line.grade is Grade.FIRM and line.difference is not None and line.difference < 0
    assert len(report.trees) == 5000 and told(report)


def test_sixty_mixes_make_no_thicket_and_no_firm_verdict():
    season = SmallSeason()
    methods = (
        "granulovirus",
        "horticultural_oil",
        "kaolin_film",
        "netting",
        "trunk_band",
        "other_insecticide",
    )
    for number, tree in enumerate(season.trees(60)):
        for place, method in enumerate(methods):
            if number >> place & 1:
                season.job(method, tree)
        if number == 0:
            season.untreated(tree)
        season.picked(tree, 30, number % 9)
    report = season.report()
    assert len(report.mixes) == 60 and len(report.contrasts) <= 60 + len(methods)
    assert all(Missing.NOT_NAMED in line.missing for line in report.contrasts)
    assert told(report).count("trees with") > 0

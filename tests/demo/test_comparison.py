"""The report beside the truth: totals that differ are named, and the generator's own count notices what is missing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from demo import doings
from demo.comparison import beside_the_truth, totals
from demo.season import InventedSeasons, invent
from shared_models.reports import season_report
from shared_models.season_records import from_entries
from tests.demo.plain_recorder import entries_of


@pytest.fixture(scope="module")
def first_seed() -> InventedSeasons:
    """The seed that is shipped."""
    return invent(1)


def report_without(seasons: InventedSeasons, left_away: doings.Doing, key: str = "2026"):
    """The report of the seasons in which one doing was never recorded."""
    rest = tuple(doing for doing in seasons.doings if doing is not left_away)
    return season_report(from_entries(entries_of(replace(seasons, doings=rest)), key))


def differing(seasons: InventedSeasons, left_away: doings.Doing) -> list[str]:
    """The totals that notice it."""
    return [total.what for total in totals(seasons, report_without(seasons, left_away)) if not total.agrees]


def first(seasons: InventedSeasons, kind: type, **wanted: object):
    """The first doing of a kind in the north."""
    return next(
        doing
        for doing in seasons.doings
        if isinstance(doing, kind)
        and doing.phone != "emmo"
        and all(getattr(doing, name) == value for name, value in wanted.items())
    )


def test_a_lost_trap_visit_is_noticed(first_seed):
    visit = next(
        doing for doing in first_seed.doings
        if isinstance(doing, doings.CountTrap) and doing.trap == "larkhollow/T1" and doing.caught > 0
    )  # fmt: skip
    assert differing(first_seed, visit) == ["moths in Larkhollow (invented) · T1"]


def test_lost_bags_are_noticed(first_seed):
    assert "bags put on" in differing(first_seed, first(first_seed, doings.PutBagsOn))


def test_a_lost_score_is_noticed(first_seed):
    assert "clean" in differing(first_seed, first(first_seed, doings.Score, phone="coro"))


def test_a_lost_correction_is_noticed(first_seed):
    assert "clean" in differing(first_seed, first(first_seed, doings.CorrectLater))


def test_a_pair_that_was_not_said_to_be_one_tree_is_noticed(first_seed):
    pairs = [doing for doing in first_seed.doings if isinstance(doing, doings.SaySameTree)]
    scored_by_the_other = {
        doing.tree for doing in first_seed.doings if isinstance(doing, doings.Score) and doing.phone == "dile"
    }
    pair = next(pair for pair in pairs if pair.tree in scored_by_the_other)
    assert any(what.startswith("trees with") for what in differing(first_seed, pair))


def test_of_all_fruit_stands_beside_the_rate_of_all_fruit_and_picked_beside_that_of_picked(first_seed):
    report = season_report(from_entries(entries_of(first_seed), "2026"))
    lines = {(line.mix.mix.key, line.of_all_fruit): line for line in beside_the_truth(first_seed, report)}
    untreated = "drops_round+untreated"
    assert lines[untreated, True].true_rate == 0.30
    # 0.30 * 0.55 of 0.30 * 0.55 + 0.70 * 0.88, by hand
    assert lines[untreated, False].true_rate == pytest.approx(0.165 / (0.165 + 0.616))
    assert ("netting", True) not in lines

"""Facts that an expert would try, each through records, server and report. Numbers are those of the fact.

14  4 moths, 1 trap, 10 days since emptied: 2.8 a trap and week, not 4 (own arithmetic, 4 · 7 / 10)
17  two records of one trap from two phones: flagged as a double count, never added
20  0 of 30 damaged: up to 9.5 % is possible (1 − 0.05^(1/30); Hanley & Lippman-Hand 1983, from memory)
21  8 of 80 picked and 30 of 40 drops damaged: 31.7 % with drops, 10.0 % without, both shown (own arithmetic)
23  bags and drops rounds on one tree: a group of its own, in neither of the two
"""

from collections.abc import Callable
from datetime import date

import httpx
import pytest

from mobile.workflows import first_start, traps, trees
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.drops_round import DropsVisit, drops_of_garden
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import Amount, Part
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.tree_plans import declare_untreated
from shared_models.language import together
from shared_models.report_text import as_text
from shared_models.reports import SeasonReport
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import AllScored, Cover, Fruit
from tests.acceptance.conftest import Helper

Helpers = Callable[[str], Helper]


@pytest.fixture
def keeper(helper: Helpers) -> Helper:
    return helper("Ada")


@pytest.fixture
def garden(keeper: Helper) -> str:
    return first_start.name_garden(keeper.store, "Hill (invented)", Hemisphere.NORTH).garden


@pytest.fixture
def tree(keeper: Helper, garden: str) -> str:
    return trees.add_tree(keeper.store, "1", garden).trees[0]


def from_the_server(keeper: Helper, key: str = "2026") -> SeasonReport:
    """The report as the server gives it, after sharing; the same as the phone's, to the last byte."""
    keeper.shares()
    member = keeper.store.membership.current()
    assert member
    answer = httpx.get(
        f"{keeper.url}/api/v1/season/{key}", headers={"Authorization": f"Bearer {member.token}"}
    )
    assert answer.text == keeper.report(key).model_dump_json()
    report = SeasonReport.model_validate_json(answer.text)
    assert as_text(report) == as_text(keeper.report(key))
    return report


def score(keeper: Helper, tree: str, clean: int, damaged: int, part: Part | None = None) -> None:
    """Score fruit, the damaged ones touch by touch, and say that all were scored."""
    visit = PickingVisit(keeper.store, tree)
    if part:
        visit.from_part(part)
    for _ in range(damaged):
        visit.score(Fruit.DEEP_ENTRY)
    visit.number(Fruit.CLEAN, Amount.exactly(clean))
    visit.all_scored(AllScored.YES)
    visit.done()


def test_fact_14_four_moths_in_ten_days_are_2_8_a_week(keeper: Helper, garden: str) -> None:
    keeper.goes_to("2026-05-01")
    trap = traps.hang_trap(keeper.store, "T1", garden, since=date.fromisoformat("2026-05-01")).trap
    keeper.goes_to("2026-05-11")
    at_trap = TrapRound(keeper.store).open(trap)
    for _ in range(4):
        at_trap.plus_one()
    at_trap.emptied()
    at_trap.done()
    (line,) = from_the_server(keeper).traps
    assert line.catch == 4 and line.per_week == pytest.approx(2.8)
    assert "2.8 a trap and week" in as_text(from_the_server(keeper))


def test_fact_17_two_counts_of_one_trap_are_flagged_and_never_added(
    helper: Helpers, keeper: Helper, garden: str
) -> None:
    keeper.goes_to("2026-05-01")
    trap = traps.hang_trap(keeper.store, "T1", garden, since=date.fromisoformat("2026-05-01")).trap
    other = helper("Ben")
    for one in (keeper, other):
        one.shares()
    for one, at, moths in ((keeper, "09:00", 7), (other, "11:00", 6)):
        one.goes_to("2026-05-15", at)
        at_trap = TrapRound(one.store).open(trap)
        at_trap.number(moths)
        at_trap.done()
    other.shares()
    report = from_the_server(keeper)
    assert report.traps[0].catch == 7
    assert [visit.double_of is not None for visit in report.traps[0].visits] == [False, True]
    assert any(warned.code == "DOUBLE_COUNT" for warned in report.warnings)
    other.shares()
    assert other.report() == report


def test_fact_20_none_of_thirty_may_be_up_to_9_5_per_cent(keeper: Helper, tree: str) -> None:
    declare_untreated(keeper.store, [tree], season="2026")
    keeper.goes_to("2026-09-10")
    score(keeper, tree, clean=30, damaged=0)
    report = from_the_server(keeper)
    assert report.mixes[0].trees[0].at_most == pytest.approx(0.095, abs=0.0005)
    assert together("none found, yet up to 9.5 % is possible") in as_text(report)


def test_fact_21_damage_with_and_without_drops_is_shown(keeper: Helper, tree: str) -> None:
    declare_untreated(keeper.store, [tree], season="2026")
    keeper.goes_to("2026-08-10")
    drops = DropsVisit(keeper.store, tree)
    drops.damaged(Amount.exactly(30))
    drops.undamaged(Amount.exactly(10))
    drops.done()
    keeper.goes_to("2026-09-10")
    score(keeper, tree, clean=72, damaged=8)
    report = from_the_server(keeper)
    (line,) = report.mixes
    assert line.all_fruit is not None and line.headline == "all_fruit"
    assert (round(line.picked.rate, 3), round(line.all_fruit.rate, 3)) == (0.100, 0.317)
    text = as_text(report)
    assert together("31.7 % damaged") in text and together("picked only: 10.0 % damaged") in text


def test_fact_23_bags_and_drops_rounds_on_one_tree_are_a_group_of_their_own(
    keeper: Helper, garden: str
) -> None:
    both, bags_only_garden = (
        trees.add_tree(keeper.store, "1", garden).trees[0],
        first_start.name_garden(keeper.store, "Vale (invented)", Hemisphere.NORTH).garden,
    )
    bags = trees.add_tree(keeper.store, "2", bags_only_garden).trees[0]
    keeper.goes_to("2026-06-05")
    for one in (both, bags):
        visit = BaggingRound(keeper.store).open(one)
        visit.took(50)
        visit.left(13)
        visit.done()
    for day in ("2026-07-05", "2026-07-19", "2026-08-02", "2026-08-16", "2026-08-30"):
        keeper.goes_to(day)
        drops_of_garden(keeper.store, garden)
    keeper.goes_to("2026-09-10")
    for one in (both, bags):
        score(keeper, one, clean=29, damaged=1, part=Part(cover=Cover.BAGGED))
    report = from_the_server(keeper)
    assert {line.mix.key: [share.tree for share in line.trees] for line in report.mixes} == {
        "bagging": [bags],
        "bagging+drops_round": [both],
    }
    assert report.tree(both).bags_put_on == 37

"""Importing a table: the records it becomes, that importing twice changes nothing, and what a corrected table writes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.records.gardens import Garden, Graft, PlanLine, Tree
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import NumberAtOnce, Pick, Visit
from shared_models.score_table.ground import Asked
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import AllScored, Cover, Reach
from tests.shared_models.score_table.bare_group import BareGroup, rates
from tests.strategies import law

HEAD = "tree,methods,scored,damaged"
TABLE = f"""{HEAD},cultivar,date,declared_before
1,untreated,64,35,Goldstern,2026-09-10,yes
2,kaolin film,57,3,Goldstern,2026-09-10,
2,kaolin film,40,2,Goldstern,2026-09-20,
3,garlic+trunk band,60,0,,2026-09-10,
4,,50,20,,2026-09-10,
"""


@pytest.fixture
def group():
    """A group without a record."""
    return BareGroup()


def test_a_table_becomes_trees_methods_jobs_declarations_picks_and_numbers(group):
    group.imported(TABLE)
    [garden] = group.all(Garden)
    assert (garden.name, garden.hemisphere) == ("Hill", Hemisphere.NORTH)
    trees = {tree.label: tree.rec for tree in group.all(Tree)}
    assert set(trees) == {"1", "2", "3", "4"}
    assert {(graft.tree, graft.cultivar) for graft in group.all(Graft)} == {
        (trees["1"], "Goldstern"),
        (trees["2"], "Goldstern"),
    }
    assert sorted((job.trees[0], job.method) for job in group.all(Job)) == sorted(
        [(trees["2"], "kaolin_film"), (trees["3"], "garlic"), (trees["3"], "trunk_band")]
    )
    [declared] = group.all(PlanLine)
    assert (declared.tree, declared.left_untreated, declared.when) == (
        trees["1"],
        True,
        "2026-01-01/2026-09-10",
    )
    [own] = group.all(OwnMethod)
    assert (own.key, own.name, own.reach) == ("garlic", "garlic", Reach.TREE)
    picks = group.all(Pick)
    assert {pick.all_scored for pick in picks} == {AllScored.YES}
    assert sorted((pick.tree, pick.when) for pick in picks) == sorted(
        (trees[label], f"2026-09-{day}")
        for label, day in [("1", 10), ("2", 10), ("2", 20), ("3", 10), ("4", 10)]
    )
    assert {visit.pick for visit in group.all(Visit)} == {pick.rec for pick in picks}
    numbers = group.all(NumberAtOnce)
    assert sum(number.amount for number in numbers) == 64 + 57 + 40 + 60 + 50
    assert sum(number.amount for number in numbers if number.marks == ["damaged"]) == 35 + 3 + 2 + 20
    assert {number.source for number in numbers} == {"picked"}


def test_the_report_shows_the_table(group):
    group.imported(TABLE)
    report = group.report()
    assert rates(report) == {
        "untreated": [(35, 64)],
        "kaolin_film": [(5, 97)],
        "trunk_band+garlic": [(0, 60)],
    }
    assert report.not_recorded == [tree.rec for tree in group.all(Tree) if tree.label == "4"]
    assert "DECLARED_LATE" not in {warning.code for warning in report.warnings}
    [untreated] = [line for line in report.mixes if line.mix.untreated]
    assert untreated.picked_deep is None  # the table does not tell sting and deep entry apart


def test_a_declaration_that_the_table_does_not_date_before_scoring_is_late(group):
    for told in ("", "no"):
        other = BareGroup()
        other.imported(TABLE.replace("2026-09-10,yes", f"2026-09-10,{told}"))
        assert "DECLARED_LATE" in {warning.code for warning in other.report().warnings}


def test_rows_of_one_tree_and_day_add_up(group):
    group.imported(f"{HEAD}\n1,netting,10,2\n1,netting,20,3\n1,netting,5,0\n")
    assert rates(group.report()) == {"netting": [(5, 35)]}
    assert len(group.all(Pick)) == 1


def test_importing_twice_changes_nothing(group):
    first = group.imported(TABLE)
    before = group.report().model_dump_json()
    second = group.imported(TABLE)
    assert first.changes and second.changes == []
    assert group.report().model_dump_json() == before


def test_two_phones_importing_one_table_make_the_same_records(group):
    other = BareGroup()
    group.imported(TABLE)
    other.imported(TABLE)
    alone = group.report().mixes
    group.entries += other.entries
    assert group.report().mixes == alone
    assert len(group.all(Tree)) == 4 and len(group.all(Pick)) == 5


def test_lines_in_another_order_are_the_same_table(group):
    group.imported(TABLE)
    head, *lines = TABLE.splitlines()
    assert group.plan("\n".join([head, *reversed(lines)])).changes == []


def kinds(plan):
    """What a plan would write."""
    return sorted((change.kind, tuple(sorted(change.fields)), change.new) for change in plan.changes)


def test_a_corrected_count_writes_one_number(group):
    group.imported(TABLE)
    plan = group.imported(TABLE.replace("1,untreated,64,35", "1,untreated,65,35"))
    assert kinds(plan) == [("number", ("n",), False)]
    assert rates(group.report())["untreated"] == [(35, 65)]


def test_damage_corrected_to_none_takes_its_number_back(group):
    group.imported(TABLE)
    plan = group.imported(TABLE.replace("2,kaolin film,40,2", "2,kaolin film,40,0"))
    assert kinds(plan) == [("number", ("_del",), False), ("number", ("n",), False)]
    assert rates(group.report())["kaolin_film"] == [(3, 97)]
    assert group.imported(TABLE).changes and group.plan(TABLE).changes == []
    assert rates(group.report())["kaolin_film"] == [(5, 97)]


def test_a_corrected_method_takes_the_earlier_job_back(group):
    group.imported(TABLE)
    plan = group.imported(TABLE.replace("kaolin film", "netting"))
    assert kinds(plan) == [
        ("job", ("_del",), False),
        ("job", ("method", "season", "trees", "when"), True),
    ]
    assert "netting" in rates(group.report()) and "kaolin_film" not in rates(group.report())
    group.imported(TABLE)
    assert "kaolin_film" in rates(group.report()) and "netting" not in rates(group.report())


def test_an_untreated_tree_that_was_treated_after_all_is_corrected(group):
    group.imported(TABLE)
    group.imported(TABLE.replace("1,untreated", "1,netting"))
    assert group.all(PlanLine) == []
    assert rates(group.report())["netting"] == [(35, 64)]


def test_a_method_that_is_not_recorded_after_all_is_corrected(group):
    group.imported(TABLE)
    group.imported(TABLE.replace("3,garlic+trunk band", "3,"))
    assert len(group.report().not_recorded) == 2


def test_a_corrected_day_moves_the_scores(group):
    group.imported(TABLE)
    group.imported(TABLE.replace("2026-09-20", "2026-09-21"))
    assert sorted(pick.when for pick in group.all(Pick))[-1] == "2026-09-21"
    assert rates(group.report())["kaolin_film"] == [(5, 97)]


def test_a_corrected_cultivar_replaces_the_earlier_one(group):
    group.imported(TABLE)
    group.imported(TABLE.replace("Goldstern", "Rotstern"))
    assert {graft.cultivar for graft in group.all(Graft)} == {"Rotstern"}


def test_a_corrected_reach_changes_the_own_method_and_keeps_its_name(group):
    group.imported(f"{HEAD}\n1,Garlic brew,10,0\n")
    plan = group.imported(f"{HEAD},reach\n1,garlic brew,10,0,garden\n")
    assert kinds(plan) == [("method", ("reach",), False)]
    [own] = group.all(OwnMethod)
    assert (own.name, own.reach) == ("Garlic brew", Reach.GARDEN)
    assert group.plan(f"{HEAD}\n1,garlic brew,10,0\n").changes == []


def test_trees_left_out_of_a_table_keep_their_scores(group):
    group.imported(TABLE)
    before = rates(group.report())
    assert group.imported(f"{HEAD},date\n1,untreated,64,35,2026-09-10\n").changes  # no longer declared before
    assert rates(group.report()) == before


def test_trees_gardens_and_cultivars_of_the_group_are_used(group):
    phone = group.phone
    garden = phone.garden("Hill")
    tree = phone.tree(garden, "1")
    group.entries += [garden, tree, phone.graft(tree, "Goldstern")]
    plan = group.imported(f"{HEAD},cultivar\n1,netting,10,2,Goldstern\n", Asked(season="2026"))
    assert {change.kind for change in plan.changes} == {"job", "pick", "visit", "number"}
    assert [one.tree for one in group.all(Pick)] == [tree.rec]


def test_what_was_recorded_by_hand_is_never_taken_back(group):
    phone = group.phone
    garden = phone.garden("Hill")
    tree = phone.tree(garden, "1")
    by_hand = [phone.job("trunk_band", tree), phone.pick(tree, total=3), phone.visit(tree)]
    group.entries += [garden, tree, *by_hand]
    group.imported(f"{HEAD}\n1,netting,10,2\n")
    group.imported(f"{HEAD}\n1,kaolin film,10,2\n")
    live = {record.rec for kind in (Job, Pick, Visit) for record in group.all(kind)}
    assert {one.rec for one in by_hand} <= live
    assert sorted(job.method for job in group.all(Job)) == ["kaolin_film", "trunk_band"]


def test_what_was_corrected_by_hand_on_a_job_or_tree_stays(group):
    group.imported(TABLE)
    job, tree = group.all(Job)[0], group.all(Tree)[0]
    for record, fields in ((job, {"when": "2026-06-01"}), (tree, {"label": "renamed"})):
        edit = group.phone.makes(record.kind, fields).model_copy(update={"rec": record.rec})
        group.entries.append(edit)
    assert group.plan(TABLE).changes == []


def test_an_undone_score_is_put_back(group):
    group.imported(TABLE)
    pick = group.all(Pick)[0]
    group.entries.append(group.phone.makes("pick", {"_del": True}).model_copy(update={"rec": pick.rec}))
    assert kinds(group.imported(TABLE)) == [("pick", ("_del",), False)]
    assert len(group.all(Pick)) == 5


def test_bagged_fruit_and_bare_fruit_of_one_tree_are_parts(group):
    group.imported(f"{HEAD}\n1,bagging+netting,40,1\n1,netting,30,9\n2,bagging,20,0\n2,,10,4\n")
    covers = sorted((pick.cover, pick.tree) for pick in group.all(Pick))
    assert [cover for cover, _ in covers] == [Cover.BAGGED, Cover.BAGGED, Cover.BARE, Cover.BARE]
    assert {job.method for job in group.all(Job)} == {"netting"}
    assert rates(group.report()) == {
        "bagging+netting": [(1, 40)],
        "netting|beside_bags": [(9, 30)],
        "bagging": [(0, 20)],
        "|beside_bags": [(4, 10)],
    }


def test_a_table_without_dates_gives_its_season_by_hand(group):
    group.imported(f"{HEAD}\n1,netting,10,2\n", Asked(garden="Down", season="2025/26"))
    [garden], [pick] = group.all(Garden), group.all(Pick)
    assert garden.hemisphere is Hemisphere.SOUTH
    assert (pick.when, pick.season) == ("unknown", "2025/26")
    assert rates(group.report("2025/26")) == {"netting": [(2, 10)]}


def test_dates_alone_give_the_season(group):
    south = Asked(garden="Down", hemisphere=Hemisphere.SOUTH)
    group.imported(f"{HEAD},date\n1,netting,10,2,2026-02-28\n", south)
    assert rates(group.report("2025/26")) == {"netting": [(2, 10)]}
    assert group.all(Pick)[0].season is None


def test_stored_fruit_scored_in_january_may_be_given_to_its_season(group):
    group.imported(f"{HEAD},date,season\n1,netting,10,2,2027-01-15,2026\n")
    assert rates(group.report("2026")) == {"netting": [(2, 10)]}


def test_several_gardens_and_seasons_stand_in_one_table(group):
    text = (
        f"{HEAD},garden,season\n1,netting,10,2,Hill,2026\n1,netting,20,3,Hill,2025\n1,netting,9,1,Dale,2026\n"
    )
    group.imported(text, Asked())
    assert len(group.all(Tree)) == 2
    assert rates(group.report("2026")) == {"netting": [(1, 9), (2, 10)]}
    assert rates(group.report("2025")) == {"netting": [(3, 20)]}
    corrected = text.replace("Hill,2025", "Hill,2024")
    assert rates(group.report("2026")) == {"netting": [(1, 9), (2, 10)]}
    group.imported(corrected, Asked())
    assert rates(group.report("2024")) == {"netting": [(3, 20)]}


def test_one_bad_line_keeps_everything_from_being_written(group):
    plan = group.plan(f"{HEAD}\n1,netting,10,2\n2,netting,10,12\n")
    assert (len(plan.trees), len(plan.bad), plan.changes) == (1, 1, [])


methods = st.sampled_from(["untreated", "", "netting", "kaolin film+garlic", "bagging", "bagging+netting"])
lines = st.tuples(
    st.integers(1, 3), methods, st.integers(1, 60), st.integers(0, 60), st.sampled_from(["01", "02"])
)


def as_table(drawn):
    """A table of these lines, each tree with the methods of its first line."""
    first = {tree: method for tree, method, *_ in reversed(drawn)}
    rows = [
        f"{tree},{first[tree]},{scored},{min(scored, damaged)},2026-09-{day}"
        for tree, _, scored, damaged, day in drawn
    ]
    return "\n".join([f"{HEAD},date", *rows]) + "\n"


@settings(law, max_examples=60)
@given(st.lists(lines, min_size=1, max_size=6), st.lists(lines, min_size=1, max_size=6))
def test_after_any_correction_the_records_say_what_the_last_table_says(first, then):
    """What two tables in turn come to is what the second alone comes to, for the trees that it names."""
    once, twice = BareGroup(), BareGroup()
    once.imported(as_table(then))
    twice.imported(as_table(first))
    twice.imported(as_table(then))
    assert twice.plan(as_table(then)).changes == []
    named = {str(tree) for tree, *_ in then}
    of_both = [
        {line.label: line.parts for line in group.report().trees if line.label in named}
        for group in (once, twice)
    ]
    assert of_both[0] == of_both[1]

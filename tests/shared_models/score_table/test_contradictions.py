"""Lines that contradict each other or the group's records are named; what a table leaves open must be said."""

import pytest

from shared_models.errors import BadInputError
from shared_models.records.gardens import Tree
from shared_models.score_table.ground import Asked
from shared_models.seasons import Hemisphere
from tests.builders import FieldPhone
from tests.shared_models.score_table.bare_group import BareGroup, rates

HEAD = "tree,methods,scored,damaged"


@pytest.fixture
def group():
    """A group without a record."""
    return BareGroup()


BAD_ROWS = {
    "other methods": ("1,netting,10,2\n1,kaolin film,10,2", 3, "Tree “1” has other methods on line 2"),
    "untreated and not": ("1,untreated,10,2\n1,netting,10,2", 3, "has other methods on line 2"),
    "untreated beside bags": ("1,bagging,10,2\n1,untreated,10,2", 3, "has other methods on line 2"),
}


@pytest.mark.parametrize(("lines", "line", "sentence"), BAD_ROWS.values(), ids=BAD_ROWS.keys())
def test_lines_of_one_tree_that_contradict_each_other_are_named(group, lines, line, sentence):
    plan = group.plan(f"{HEAD}\n{lines}\n")
    [bad] = plan.bad
    assert bad.line == line and sentence in bad.sentence
    assert plan.changes == []


OPTIONS = {
    "cultivars": (
        "cultivar",
        "Goldstern",
        "Rotstern",
        "“cultivar” is “Rotstern” here and “Goldstern” on line 2.",
    ),
    "reaches": ("reach", "tree", "garden", "“reach” is “garden” here and “tree” on line 2."),
    "declared": ("declared_before", "yes", "no", "“declared_before” is “no” here and “yes” on line 2."),
}


@pytest.mark.parametrize(("column", "first", "then", "sentence"), OPTIONS.values(), ids=OPTIONS.keys())
def test_further_columns_that_contradict_each_other_are_named(group, column, first, then, sentence):
    [bad] = group.plan(f"{HEAD},{column}\n1,garlic,10,2,{first}\n1,garlic,10,2,{then}\n").bad
    assert (bad.line, bad.column, bad.sentence) == (3, column, sentence)


def test_empty_methods_on_a_further_line_of_a_tree_do_not_contradict(group):
    group.imported(f"{HEAD}\n1,netting,10,2\n1,,10,3\n")
    assert rates(group.report()) == {"netting": [(5, 20)]}


def recorded(**more):
    """A group with a northern garden Hill and tree 1 of the cultivar Goldstern."""
    phone = FieldPhone()
    garden = phone.garden("Hill")
    tree = phone.tree(garden, "1")
    group = BareGroup([garden, tree, phone.graft(tree, "Goldstern")], phone)
    own = {"key": "garlic", "name": "garlic", "reach": "garden"}
    group.entries.append(phone.makes("method", own))
    return group, phone, garden


MISFITS = {
    "cultivar": (f"{HEAD},cultivar\n1,,10,2,Rotstern\n", "cultivar", "recorded as “Goldstern”"),
    "reach by hand": (f"{HEAD},reach\n1,garlic,10,2,tree\n", "reach", "known as garden; the table says tree"),
    "reach of a known": (f"{HEAD},reach\n1,netting,10,2,garden\n", "reach", "known as tree"),
    "southern season": (
        f"{HEAD},season\n1,,10,2,2026/27\n",
        "season",
        "“Hill” lies in the north; write one year",
    ),
    "day outside": (f"{HEAD},date\n1,,10,2,2025-09-10\n", "date", "2025-09-10 lies outside the season 2026"),
}


@pytest.mark.parametrize(("text", "column", "sentence"), MISFITS.values(), ids=MISFITS.keys())
def test_lines_that_contradict_the_groups_records_are_named(text, column, sentence):
    group, _, _ = recorded()
    [bad] = group.plan(text).bad
    assert (bad.line, bad.column) == (2, column)
    assert sentence in bad.sentence


def test_a_label_on_two_trees_is_not_guessed_unless_they_are_one_tree_or_one_is_gone():
    group, phone, garden = recorded()
    first = group.all(Tree)[0]
    second = phone.tree(garden, "1")
    group.entries.append(second)
    text = f"{HEAD}\n1,netting,10,2\n"
    [bad] = group.plan(text).bad
    assert "Several trees of this garden carry the label “1”" in bad.sentence
    one_tree = BareGroup([*group.entries, phone.makes("same_tree", {"a": first.rec, "b": second.rec})], phone)
    assert one_tree.plan(text).bad == []
    gone = BareGroup([*group.entries, phone.edits(second, removed_on="2026-01-05")], phone)
    [tree] = gone.plan(text).trees
    assert tree.tree == first.rec


def test_a_garden_name_that_two_gardens_have_is_not_guessed():
    group, phone, _ = recorded()
    group.entries.append(phone.garden("Hill"))
    [bad] = group.plan(f"{HEAD}\n1,,10,2\n").bad
    assert bad.sentence == "Several gardens are called “Hill”."


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (Asked(season="2026"), "Line 2 names no garden"),
        (Asked(garden="Hill"), "The garden “Hill” is new; say whether it lies north or south."),
        (Asked(garden="Hill", hemisphere=Hemisphere.NORTH), "Line 2 has neither a date nor a season"),
        (Asked(garden="Hill", season="2026/28"), "“2026/28” names no season"),
        (Asked(garden="x" * 61, season="2026"), "“name” is longer than 60; shorten it."),
    ],
)
def test_what_the_table_leaves_open_must_be_said(group, asked, sentence):
    with pytest.raises(BadInputError) as refused:
        group.plan(f"{HEAD}\n1,,10,2\n", asked)
    assert sentence in str(refused.value)


def test_the_only_garden_of_a_group_is_meant_where_none_is_named():
    group, _, garden = recorded()
    plan = group.plan(f"{HEAD}\n1,,10,2\n", Asked(season="2026"))
    assert plan.garden_names == {garden.rec: "Hill"}

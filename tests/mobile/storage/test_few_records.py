"""Few records out of many: what is chosen in SQL is what looking at every record would choose."""

import sqlite3
from contextlib import closing
from datetime import date
from random import Random

import pytest

from mobile.storage.phone_store import PhoneStore
from shared_models.records.gardens import Tree
from shared_models.records.jobs import Job
from shared_models.records.tallies import NumberAtOnce, Visit
from shared_models.season.mixes import Treatments
from shared_models.season.orchard import Orchard
from shared_models.seasons import season_named
from tests.mobile.phones import Phones, SetClock

ROUNDS = ("bagging", "drops", "picking")
WHENS = ("2025-06-01", "2026-06-01T08:00:00+02:00", "2026-07-09", "2026-12-31/2027-01-02", "unknown")


@pytest.fixture
def trees(phone: PhoneStore) -> list[str]:
    """Six trees of two gardens, two of them said to be one."""
    gardens = [phone.record("garden", {"name": name, "hemisphere": "north"}) for name in ("Hill", "Lane")]
    made = [phone.record("tree", {"label": str(n), "garden": gardens[n % 2]}) for n in range(6)]
    phone.record("same_tree", {"a": made[1], "b": made[3]})
    return made


@pytest.fixture
def busy(phone: PhoneStore, trees: list[str]) -> PhoneStore:
    """A phone on which much of everything was recorded, some of it undone or given to a season by hand."""
    rnd = Random(7)
    for _ in range(120):
        fields: dict[str, object] = {
            "when": rnd.choice(WHENS),
            "tree": rnd.choice(trees),
            "round": rnd.choice(ROUNDS),
        }
        fields |= rnd.choice(
            [{}, {"season": "2026"}, {"ended": "2026-07-09"}, {"material": "paper", "took": 9}]
        )
        visit = phone.record("visit", fields)
        if rnd.random() < 0.3:
            phone.record("number", {"visit": visit, "what": "bag", "n": 4.0})
        if rnd.random() < 0.3:
            phone.record(
                "mark", {"visit": visit, "marks": ["clean"], "cover": rnd.choice(["bagged", "none"])}
            )
        if rnd.random() < 0.2:
            phone.undo(visit)
    for when in WHENS[:3]:
        phone.record("job", {"method": "netting", "trees": [trees[0], trees[5]], "when": when})
    phone.record("job", {"method": "kaolin_film", "garden": phone.all(Tree)[1].garden, "when": "2025-06-01"})
    phone.record(
        "plan_line", {"tree": trees[3], "season": "2026", "left_untreated": True, "when": "2026-05-01"}
    )
    return phone


def test_what_names_a_tree_is_found(busy: PhoneStore, trees: list[str]) -> None:
    for named in ([trees[0]], [trees[1], trees[3]], []):
        assert busy.few.naming(Visit, named) == [one for one in busy.all(Visit) if one.tree in named]
        assert busy.few.naming(Job, named) == [one for one in busy.all(Job) if {*named} & {*one.trees}]


def test_days_are_met_to_the_day(busy: PhoneStore) -> None:
    first, last = date(2026, 6, 1), date(2026, 7, 9)
    visits = [(one, one.moment.first) for one in busy.all(Visit)]
    assert busy.few.of_days(Visit, first, last) == [
        one for one, day in visits if day and first <= day <= last
    ]
    assert busy.few.begun_since(Visit, last) == [one for one, day in visits if day is None or day >= last]


def test_a_season_has_its_days_what_is_given_to_it_and_what_nobody_knows(
    busy: PhoneStore, trees: list[str]
) -> None:
    season = season_named("2026")
    mine = [
        one
        for one in busy.all(Visit)
        if one.moment.first is None or season.holds(one.moment.first) or one.season == "2026"
    ]
    assert busy.few.of_season(Visit, "2026") == mine
    assert busy.few.naming(Visit, [trees[2]], of="2026") == [one for one in mine if one.tree == trees[2]]


def test_own_records_without_an_end_and_those_that_say_something(busy: PhoneStore, phones: Phones) -> None:
    device = busy.identity.device if busy.identity else ""
    assert busy.few.unended(Visit, device) == [one for one in busy.all(Visit) if one.ended is None]
    saying = busy.few.newest_saying(Visit, device, ("material", "fruit_size_mm"), 1000)
    assert {one.rec for one in saying} == {one.rec for one in busy.all(Visit) if one.material}
    assert busy.few.newest_saying(Visit, device, ("material",), 3) == saying[:3]
    assert busy.few.unended(Visit, "elsewhere") == []
    visit = busy.all(NumberAtOnce)[0].visit
    assert busy.few.numbers_of(visit) == [one for one in busy.all(NumberAtOnce) if one.visit == visit]


def test_newest_first_leaves_nothing_out_and_reads_in_pieces(busy: PhoneStore, trees: list[str]) -> None:
    found = list(busy.few.newest_first(["visit", "job"], piece=7))
    assert found == list(busy.few.newest_first(["visit", "job"]))
    assert sorted(one.rec for one in found) == sorted(
        one.rec for kind in (Visit, Job) for one in busy.all(kind)
    )
    days = [one.moment.first for one in found if isinstance(one, Visit | Job)]
    assert days == sorted(days, key=lambda day: day or date.max, reverse=True)
    named = list(busy.few.newest_first(["visit"], [trees[4]]))
    assert {one.rec for one in named} == {one.rec for one in busy.all(Visit) if one.tree == trees[4]}


@pytest.mark.parametrize("key", ["2025", "2026", "2027"])
def test_a_trees_season_is_judged_as_from_all_records(busy: PhoneStore, trees: list[str], key: str) -> None:
    whole = busy.season(key)
    orchard = Orchard(whole)
    judged = Treatments(whole, orchard)
    gardens = {tree.rec: tree.garden for tree in busy.all(Tree)}
    for tree in trees:
        ids = [one for one in trees if orchard.one(one) == orchard.one(tree)]
        few = busy.few.of_tree_in_season(ids, gardens[tree], key)
        alone = Treatments(few, Orchard(few))
        assert alone.recorded(orchard.one(tree)) == judged.recorded(orchard.one(tree))
        assert alone.bags.get(orchard.one(tree)) == judged.bags.get(orchard.one(tree))


def test_standing_records_follow_every_change(phone: PhoneStore, trees: list[str]) -> None:
    for change in (
        lambda: phone.record("tree", {"label": "new"}, trees[0]),
        lambda: phone.undo(trees[1]),
        lambda: phone.redo(trees[1]),
        lambda: phone.record("tree", {"label": "9", "garden": phone.all(Tree)[0].garden}),
        lambda: None,
    ):
        change()
        assert phone.few.standing(Tree) == phone.all(Tree)


def test_a_touch_never_goes_through_all_records(phones: Phones, clock: SetClock) -> None:
    """SQLite guesses that a file holds ten rows of its one group, unless it is told better."""
    phones.begun("told.db", clock)
    with closing(sqlite3.connect(phones.folder / "told.db")) as core:
        for asked, index in (
            ("owner = 'x'", "record_by_owner"),
            ("kind = 'visit' AND day = '2026-09-12'", "record_by_day"),
            ("kind = 'tree'", "record_by_day"),
        ):
            plan = core.execute(
                f"EXPLAIN QUERY PLAN SELECT fields FROM record WHERE group_id = 'own' AND deleted = 0 AND {asked}"
            )
            assert index in " ".join(row[3] for row in plan)

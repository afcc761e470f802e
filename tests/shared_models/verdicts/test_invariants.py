"""What must never change a report, to the last digit: how, where, by whom and in which words its records came about."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.entries import Entry
from shared_models.report_text import as_text
from shared_models.season.report_parts import SeasonReport
from tests.shared_models.season.seasons import SmallSeason, mix

SIDES = ("granulovirus", "untreated")


@dataclass(frozen=True)
class TreeTold:
    """One tree of a random season: its side, its cultivar, and (clean, damaged, total) on each of its days."""

    side: str
    cultivar: str
    days: list[tuple[int, int, int | None]]


@dataclass
class Ways:
    """How a season is written down: each a way that must not matter."""

    order: list[int] = field(default_factory=list)  # in which the trees are made, so that ids sort otherwise
    twins: frozenset[int] = (
        frozenset()
    )  # trees that two phones recorded, their days shared between both records
    split: bool = False  # every visit in two
    one_by_one: bool = False  # marks instead of numbers at once
    mirrored: bool = False  # the comparison named the other way round


day_told = st.tuples(st.integers(0, 25), st.integers(0, 12), st.none() | st.integers(60, 300)).filter(
    lambda told: told[0] + told[1] > 0
)
tree_told = st.builds(
    TreeTold,
    st.sampled_from(SIDES),
    st.sampled_from(["Dawnlet", "Tarnell"]),
    st.lists(day_told, min_size=1, max_size=2),
)
seasons = st.lists(tree_told, min_size=2, max_size=9)
few = settings(max_examples=30, deadline=None)


def written(told: list[TreeTold], ways: Ways | None = None, mixes: bool = False) -> SmallSeason:
    """A season written down one way."""
    ways = ways or Ways()
    season = SmallSeason()
    season.keep(season.phone.makes("planned_contrast", _named(ways.mirrored, mixes)))
    order = ways.order or list(range(len(told)))
    made = {place: _planted(season, place, told[place]) for place in order}
    for place, one in enumerate(told):
        _treated(season, made[place], one)
        records = [made[place]]
        if place in ways.twins:
            records.append(season.keep(season.phone.tree(season.garden, str(place))))
            season.keep(season.phone.same_tree(*records))
        for number, (clean, damaged, total) in enumerate(one.days):
            _scored(
                season, records[number % len(records)], f"2026-09-{10 + number}", clean, damaged, total, ways
            )
    return season


def _named(mirrored: bool, mixes: bool) -> dict[str, Any]:
    said: dict[str, Any] = {"season": "2026", "when": "2026-08-01"}
    if not mixes:
        return {**said, "with_method": "granulovirus"}
    a, b = (["untreated"], ["granulovirus"]) if mirrored else (["granulovirus"], ["untreated"])
    return {**said, "a": a, "b": b}


def _planted(season: SmallSeason, place: int, one: TreeTold) -> Entry:
    tree = season.keep(season.phone.tree(season.garden, str(place)))
    season.keep(season.phone.graft(tree, one.cultivar))
    return tree


def _treated(season: SmallSeason, tree: Entry, one: TreeTold) -> None:
    if one.side == "untreated":
        season.untreated(tree)
    else:
        season.job(one.side, tree)


def _scored(
    season: SmallSeason, tree: Entry, day: str, clean: int, damaged: int, total: int | None, ways: Ways
) -> None:
    more = {"total": total} if total is not None else {}
    pick = season.keep(season.phone.pick(tree, when=day, all_scored="no", **more))
    visit = season.keep(season.phone.visit(tree, when=day, pick=pick.rec))
    second = season.keep(season.phone.visit(tree, when=day, pick=pick.rec)) if ways.split else visit
    for at, n, mark in ((visit, damaged, "deep_entry"), (second, clean, "clean")):
        if ways.one_by_one:
            for _ in range(n):
                season.keep(season.phone.mark(at, mark))
        elif n:
            season.keep(season.phone.number(at, n, mark))


def told_by_label(report: SeasonReport) -> dict[str, Any]:
    """The whole of what is compared, trees by their labels, lists of trees in the order of labels."""
    labels = {line.tree: line.label for line in report.trees}

    def side(points: list[tuple[str, float, float]]) -> list[tuple[str, float, float]]:
        return sorted((labels[tree], damaged, scored) for tree, damaged, scored in points)

    return {
        "mixes": [
            (
                line.model_dump(exclude={"trees"}),
                sorted((labels[one.tree], one.model_dump(exclude={"tree"})) for one in line.trees)
                if line.trees
                else [],
            )
            for line in report.mixes
        ],
        "contrasts": [
            (
                line.model_dump(exclude={"strata", "not_used"}),
                sorted((one.cultivar, side(one.a), side(one.b)) for one in line.strata),
                sorted(labels[tree] for tree in line.not_used),
            )
            for line in report.contrasts
        ],
        "costs": report.costs,
        "next_season": report.next_season,
        "scored": report.scored,
    }


@few
@given(seasons, st.randoms(use_true_random=False))
def test_who_is_recorded_first_and_which_ids_trees_get(told, chance):
    order = list(range(len(told)))
    chance.shuffle(order)
    assert told_by_label(written(told, Ways(order=order)).report()) == told_by_label(written(told).report())


@few
@given(seasons, st.sets(st.integers(0, 8)))
def test_two_records_of_one_tree_with_the_days_shared_between_them(told, twins):
    merged = written(told, Ways(twins=frozenset(twins))).report()
    assert told_by_label(merged) == told_by_label(written(told).report())


@few
@given(seasons)
def test_one_visit_split_in_two(told):
    assert told_by_label(written(told, Ways(split=True)).report()) == told_by_label(written(told).report())


@few
@given(seasons)
def test_fruit_one_by_one_or_many_at_once(told):
    one_by_one = written(told, Ways(one_by_one=True)).report()
    assert told_by_label(one_by_one) == told_by_label(written(told).report())


@contextmanager
def reader_in(zone: str) -> Iterator[None]:
    """This process in another time zone."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = zone
    time.tzset()
    try:
        yield
    finally:
        del os.environ["TZ"]
        if before is not None:
            os.environ["TZ"] = before
        time.tzset()


@few
@given(seasons, st.sampled_from(["Pacific/Auckland", "America/Los_Angeles", "Asia/Kolkata", "UTC"]))
def test_the_zone_of_the_reader(told, zone):
    season = written(told)
    tree = next(entry for entry in season.entries if entry.kind == "tree")
    late = season.keep(season.phone.visit(tree, when="2026-12-31T23:30:00+01:00"))
    season.keep(season.phone.number(late, 3, "sting"))
    with reader_in("Europe/Rome"):
        at_home = season.report().model_dump_json()
    with reader_in(zone):
        assert season.report().model_dump_json() == at_home


@few
@given(seasons)
def test_a_comparison_named_the_other_way_round_is_the_mirror_image(told):
    def line(mirrored: bool):
        report = written(told, Ways(mirrored=mirrored), mixes=True).report()
        return next((one for one in report.contrasts if one.kind == "mixes" and one.before_scoring), None)

    one, other = line(False), line(True)
    assert (one is None) == (other is None)
    if one is None or other is None:
        return
    assert (one.side_a, one.side_b) == (other.side_b, other.side_a)
    assert (one.p, one.holm_p, one.lock_p, one.welch_p) == (
        other.p,
        other.holm_p,
        other.lock_p,
        other.welch_p,
    )
    assert (one.grade, one.missing, one.caps) == (other.grade, other.missing, other.caps)
    if one.difference is not None and one.low is not None and one.high is not None:
        assert (other.difference, other.low, other.high) == (
            -one.difference + 0.0,
            -one.high + 0.0,
            -one.low + 0.0,
        )


# ---------------------------------------------------------------- clean fruit
@dataclass(frozen=True)
class Sampled:
    """Fruit of one tree and day, picked or dropped: clean and damaged of those scored, and how many more there were."""

    clean: int
    damaged: int
    more: int | None

    def with_clean(self, clean: int, of_those: bool) -> "Sampled":
        """With more clean fruit scored: of those that were there, or in addition to them."""
        if self.more is None or not of_those:
            return Sampled(self.clean + clean, self.damaged, self.more)
        found = min(clean, self.more)
        return Sampled(self.clean + found, self.damaged, self.more - found)


sampled = st.builds(Sampled, st.integers(0, 25), st.integers(0, 12), st.none() | st.integers(0, 200)).filter(
    lambda one: one.clean + one.damaged > 0
)
fallen = st.none() | st.builds(Sampled, st.integers(0, 25), st.integers(0, 12), st.just(0))
sampled_trees = st.lists(st.tuples(st.lists(sampled, min_size=1, max_size=3), fallen), min_size=1, max_size=6)


def rates_of(trees: list[tuple[list[Sampled], Sampled | None]]) -> dict[str, float]:
    """Every rate of the season table: of the mix and of each tree, of picked fruit, deep entries and all fruit."""
    season = SmallSeason()
    for number, (days, drops) in enumerate(trees):
        tree = season.keep(season.phone.tree(season.garden, str(number)))
        season.untreated(tree)
        for day, one in enumerate(days):
            scored = one.clean + one.damaged
            total = None if one.more is None else scored + one.more
            when = f"2026-09-{10 + day}"
            season.picked(tree, scored, one.damaged, when, total=total, all_scored="no")
        if drops is not None:
            season.drops(tree, drops.clean + drops.damaged, drops.damaged)
    report = season.report()
    [line] = report.mixes
    labels = {tree.tree: tree.label for tree in report.trees}
    of_mix = {"picked": line.picked, "deep": line.picked_deep, "all fruit": line.all_fruit}
    found = {name: rate.rate for name, rate in of_mix.items() if rate}
    for share in line.trees:
        found[labels[share.tree]] = share.rate
        if share.all_fruit is not None:
            found[f"all fruit of {labels[share.tree]}"] = share.all_fruit
    return found


def none_rises(before: dict[str, float], after: dict[str, float]) -> bool:
    """Whether no rate that was there is higher now, but for the last digit that is written."""
    return all(after[name] <= rate + 1.5e-6 for name, rate in before.items() if name in after)


@settings(max_examples=80, deadline=None)
@given(sampled_trees, st.integers(0, 5), st.integers(0, 3), st.integers(1, 60), st.booleans())
def test_more_clean_fruit_in_any_sample_raises_no_rate(trees, which, where, clean, of_those):
    """Of a pick or of the drops; of those that were picked or in addition to them; totals known or not."""
    place = which % len(trees)
    days, drops = trees[place]
    at = where % (len(days) + (drops is not None and drops.clean + drops.damaged > 0))
    if at < len(days):
        fuller = ([*days[:at], days[at].with_clean(clean, of_those), *days[at + 1 :]], drops)
    else:
        fuller = (days, drops and drops.with_clean(clean, of_those=False))
    before, after = rates_of(trees), rates_of([*trees[:place], fuller, *trees[place + 1 :]])
    assert before.keys() == after.keys() and none_rises(before, after)


@settings(max_examples=80, deadline=None)
@given(sampled_trees, st.integers(0, 5), st.integers(1, 25), st.integers(0, 200))
def test_a_further_clean_picking_day_raises_no_rate_of_its_tree_and_none_of_a_mix_where_it_had_two(
    trees, which, clean, more
):
    """Where it had one only, it is weighed anew: that limit is told beside the rate."""
    place = which % len(trees)
    days, drops = trees[place]
    unknown = any(day.more is None for day in days)
    longer = ([*days, Sampled(clean, 0, None if unknown else more)], drops)
    before, after = rates_of(trees), rates_of([*trees[:place], longer, *trees[place + 1 :]])
    if len(days) == 1:
        before = {name: rate for name, rate in before.items() if name.endswith(str(place))}
    assert none_rises(before, after)


def test_where_a_second_day_may_move_a_rate_up_the_report_says_so():
    once, twice = [Sampled(1, 1, 98)], [Sampled(1, 1, 98), Sampled(10, 0, 0)]
    beside = ([Sampled(40, 0, 60)], None)
    before, after = rates_of([(once, None), beside]), rates_of([(twice, None), beside])
    assert after["0"] < before["0"] and after["picked"] > before["picked"]
    season = SmallSeason()
    first, second = season.trees(2)
    season.untreated(first, second)
    for tree, days in ((first, ("2026-09-10", "2026-09-20")), (second, ("2026-09-10",))):
        for day in days:
            season.picked(tree, 10, 1, day, total=100)
    report = season.report()
    [warned] = [one for one in mix(report, "untreated").warnings if one.code == "WEIGHED_BY_CROP"]
    assert warned.about == ["1"] and "Scored on several days: 1." in as_text(report)

"""Seasons that a real group could have, in which a firm verdict would be false: each is capped, or it is said aloud."""

from collections.abc import Callable

import pytest

from shared_models.calculations.verdict import Grade
from shared_models.entries import Entry
from shared_models.report_text import as_text
from shared_models.season.choice import Choice, Counted, Damage
from shared_models.season.verdict_parts import ContrastLine
from tests.shared_models.season.seasons import SmallSeason, codes, report_of
from tests.shared_models.season.test_choice import report_of as part_of
from tests.shared_models.verdicts.test_contrasts_of_a_season import main_line, season_of

ADA, BEN = "00000000-0000-7000-8000-00000000000a", "00000000-0000-7000-8000-00000000000b"


def trees_of(season: SmallSeason) -> tuple[list[Entry], list[Entry]]:
    """The treated and the untreated trees of a season with six of each."""
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    return trees[:6], trees[6:12]


def changed(season: SmallSeason, change: Callable[[Entry], dict[str, object]]) -> SmallSeason:
    """The same season, some fields of some entries otherwise."""
    season.entries[:] = [
        one.model_copy(update={"f": {**one.f, **found}}) if (found := change(one)) else one
        for one in season.entries
    ]
    return season


def of_side(season: SmallSeason, entry: Entry) -> int | None:
    """0 where an entry is about a treated tree, 1 about an untreated one."""
    tree = entry.f.get("tree") if entry.kind != "tree" else entry.rec
    for side, trees in enumerate(trees_of(season)):
        if tree in {one.rec for one in trees}:
            return side
    return None


def scored_by_one_on_each_side() -> SmallSeason:
    """Ada scored every treated tree and Ben every other one."""
    season = season_of()
    return changed(
        season,
        lambda one: (
            {"done_by": (ADA, BEN)[side]}
            if one.kind == "visit" and (side := of_side(season, one)) is not None
            else {}
        ),
    )


def small_trees_against_large() -> SmallSeason:
    """All treated trees are dwarfs, all others full-size."""
    season = season_of()
    sizes = ("dwarf", "full_size")
    return changed(
        season,
        lambda one: (
            {"size": sizes[side]} if one.kind == "tree" and (side := of_side(season, one)) is not None else {}
        ),
    )


def picked_on_days_that_nobody_knows() -> SmallSeason:
    """The untreated trees were picked some time."""
    season = season_of()
    return changed(
        season,
        lambda one: (
            {"when": "unknown", "season": "2026"}
            if one.kind in ("visit", "pick") and of_side(season, one) == 1
            else {}
        ),
    )


def drops_counted_weekly_on_one_side() -> SmallSeason:
    """Drops of the others were looked for once, when most had rotted."""
    season = season_of()
    treated, untreated = trees_of(season)
    for tree in treated:
        season.drops(tree, 3, 1, day="2026-08-30")
    for tree in untreated:
        for day in ("2026-08-02", "2026-08-09", "2026-08-16", "2026-08-23"):
            season.drops(tree, 3, 2, day=day)
    return season


def bags_on_what_was_still_sound() -> SmallSeason:
    """Bags went on in August, on fruit without a hole."""
    season = SmallSeason()
    planned = {"season": "2026", "with_method": "bagging", "when": "2026-07-01"}
    season.keep(season.phone.makes("planned_contrast", planned))
    for number, tree in enumerate(season.trees(8)):
        season.keep(season.phone.graft(tree, "Dawnlet"))
        if number < 4:
            season.keep(season.phone.visit(tree, "bagging", when="2026-08-05", took=40, left=0))
        else:
            season.untreated(tree)
        season.picked(
            tree, 30, number % 2 + (0 if number < 4 else 12), cover="bagged" if number < 4 else "none"
        )
    return season


def what_counts_as_treated_was_settled_after_scoring() -> SmallSeason:
    """The group's own "counts as" came when the scores were known."""
    season = season_of()
    own = {"key": "granulovirus", "name": "granulovirus", "reach": "tree", "least_times": 1}
    made = season.phone.makes("method", own)
    season.keep(made.model_copy(update={"entered": "2026-09-25T09:00:00+02:00"}))
    return season


def one_tree_with_most_of_the_fruit() -> SmallSeason:
    """One clean tree bore what five others did not."""
    season = season_of()
    treated, _ = trees_of(season)
    season.picked(treated[0], 600, 10, total=600)
    return season


CAPPED = {
    "SCORERS_APART": scored_by_one_on_each_side,
    "SIZES_APART": small_trees_against_large,
    "PICK_DAYS_UNKNOWN": picked_on_days_that_nobody_knows,
    "DROPS_UNLIKE": drops_counted_weekly_on_one_side,
    "BAGGED_LATE": bags_on_what_was_still_sound,
    "METHOD_CHANGED": what_counts_as_treated_was_settled_after_scoring,
    "ONE_TREE_DOMINATES": one_tree_with_most_of_the_fruit,
}


def asked_line(season: SmallSeason) -> ContrastLine:
    """The comparison that was named."""
    return next(line for line in season.report().contrasts if line.before_scoring)


@pytest.mark.parametrize("code", list(CAPPED))
def test_such_a_season_is_never_more_than_a_hint_and_says_why(code):
    season = CAPPED[code]()
    line = asked_line(season)
    assert line.p is not None and line.p <= 0.05 and code in line.caps
    assert line.grade is Grade.LEANING
    assert "Points to less damage" in as_text(season.report())


@pytest.mark.parametrize(
    "choice",
    [{"cultivar": "Dawnlet"}, {"damage": Damage.DEEP}, {"fruit": Counted.PICKED}],
    ids=["a cultivar", "deep entry", "picked fruit"],
)
def test_a_part_that_nobody_named_is_a_hint_at_most(choice):
    season = season_of()
    [part] = [one for one in part_of(season, **choice).contrasts if one.before_scoring]
    assert (main_line(season).grade, part.grade, part.caps) == (Grade.FIRM, Grade.LEANING, ["CHOSEN_PART"])


def test_a_garden_by_itself_is_no_such_part():
    season = season_of()
    [part] = [one for one in part_of(season, garden=season.garden.rec).contrasts if one.before_scoring]
    assert part.grade is Grade.FIRM and Choice(garden=season.garden.rec).of_a_part is False


def test_what_was_entered_only_after_scoring_is_named():
    season = season_of()
    treated, untreated = trees_of(season)
    late = {treated[0].rec, untreated[1].rec}

    def copied_later(one: Entry) -> Entry:
        about = {*one.f.get("trees", []), one.f.get("tree")} if one.kind in ("job", "plan_line") else set()
        return one.model_copy(update={"entered": "2026-10-20T20:00:00+02:00"}) if about & late else one

    line = next(one for one in report_of(map(copied_later, season.entries)).contrasts if one.before_scoring)
    [warned] = [one for one in line.warnings if one.code == "SAID_LATE"]
    assert warned.about == ["1", "8"]
    assert "SAID_LATE" not in codes(main_line(season).warnings)


def test_a_method_had_before_scoring_and_once_more_after_is_not_named():
    season = season_of()
    treated, _ = trees_of(season)
    again = season.job("granulovirus", treated[0], day="2026-09-20")
    season.entries[-1] = again.model_copy(update={"entered": "2026-09-20T20:00:00+02:00"})
    assert "SAID_LATE" not in codes(main_line(season).warnings)


def test_trees_that_had_the_same_and_were_not_scored_are_named_where_they_are_many():
    season = season_of()
    more = season.trees(4)
    for tree in more:
        season.keep(season.phone.edits(tree, label=f"unscored {tree.f['label']}"))
    season.job("granulovirus", *more[:3])
    assert "MANY_NOT_SCORED" not in codes(main_line(season).warnings)  # three beside six
    season.job("granulovirus", more[3])
    [warned] = [one for one in main_line(season).warnings if one.code == "MANY_NOT_SCORED"]
    assert warned.about == [f"unscored {number}" for number in (1, 2, 3, 4)]
    assert main_line(season).grade is Grade.FIRM


def test_scores_that_were_corrected_by_much_are_named_with_how_much():
    season = season_of()
    visits = [one for one in season.entries if one.kind == "visit" and of_side(season, one) == 1]
    for visit in visits:
        season.keep(season.phone.adjustment(visit, 4, "deep_entry"))
    [warned] = [one for one in main_line(season).warnings if one.code == "CORRECTED"]
    assert warned.count == 12 and "corrected afterwards, by 12 of 100" in as_text(season.report())


def test_trees_that_are_retired_after_scoring_stay_in():
    season = season_of()
    _, untreated = trees_of(season)
    before = main_line(season)
    for tree in untreated[:2]:
        season.keep(season.phone.edits(tree, retired=True))
    season.keep(season.phone.edits(untreated[2], removed_on="2026-08-01"))
    assert main_line(season) == before


def test_two_records_of_one_tree_are_one_tree_of_one_side_only():
    season = season_of()
    treated, untreated = trees_of(season)
    season.keep(season.phone.same_tree(treated[0], untreated[0]))
    line = main_line(season)
    assert (line.side_a.trees, line.side_b.trees) == (6, 5)
    assert "DECLARED_BUT_TREATED" in codes(season.report().warnings)


def test_two_seasons_at_once_and_the_other_half_of_the_earth_lend_no_trees():
    season, south = season_of(3, 3), SmallSeason("south")
    alone = main_line(season)
    for entry in season_of(8, 8).entries:  # the same a year before, and far away
        season.keep(entry) if entry.kind in ("garden", "tree", "graft") else None
    south.untreated(*south.trees(6), season="2025/26", day="2025-10-01")
    for tree in [entry for entry in south.entries if entry.kind == "tree"]:
        south.picked(tree, 30, 20, day="2026-03-01")
    season.entries += south.entries
    trees = [entry for entry in season.entries if entry.kind == "tree"][:6]
    for tree in trees:
        season.picked(tree, 30, 25, day="2025-09-10")
    line = main_line(season)
    assert (line.side_a, line.side_b, line.grade) == (alone.side_a, alone.side_b, alone.grade)
    assert line.grade is not Grade.FIRM

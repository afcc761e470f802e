"""A season cut down to one garden says what the entries of that garden alone say."""

from __future__ import annotations

from shared_models.entries import Entry
from shared_models.records.gardens import Garden
from shared_models.reports import season_report
from shared_models.season.one_garden import of_garden
from shared_models.season_records import from_entries
from tests.shared_models.season.seasons import SmallSeason


def harvested(season: SmallSeason, garden: Entry, first: int) -> None:
    """Six trees of a garden: three untreated, three sprayed, all scored; a trap with two counts, one entered late."""
    season.garden = garden
    trees = [season.keep(season.phone.tree(garden, str(first + number))) for number in range(6)]
    season.untreated(*trees[:3])
    season.job("granulovirus", *trees[3:], minutes=first)
    for number, tree in enumerate(trees):
        season.picked(tree, 20, number + first % 3)
    trap = season.keep(season.phone.trap(garden, f"T{first}"))
    for day, moths in (("2026-05-20", first), ("2026-05-24", 3)):
        season.keep(season.phone.trap_visit(trap, moths, when=day))


def two_gardens() -> tuple[SmallSeason, list[Entry], Entry]:
    """Both gardens together, the entries of the second alone, and that garden."""
    season = SmallSeason()
    harvested(season, season.garden, 1)
    before = len(season.entries)
    second = season.keep(season.phone.garden("Brook", "north"))
    harvested(season, second, 11)
    return season, season.entries[before:], second


def test_the_report_of_one_garden_is_that_of_its_own_entries():
    season, own, garden = two_gardens()
    cut = season_report(of_garden(from_entries(season.entries, "2026"), garden.rec))
    assert cut == season_report(from_entries(own, "2026"))
    assert {line.garden for line in cut.trees} == {"Brook"}


def test_both_gardens_together_are_another_report():
    season, _own, garden = two_gardens()
    together = season.report()
    cut = season_report(of_garden(from_entries(season.entries, "2026"), garden.rec))
    assert len(together.trees) == 2 * len(cut.trees) and together.mixes != cut.mixes


def test_moths_are_taken_off_that_were_counted_before_the_trap_moved_here():
    season = SmallSeason()
    second = season.keep(season.phone.garden("Brook", "north"))
    trap = season.keep(season.phone.trap(season.garden, "T1"))
    for garden, begin, end in ((season.garden, "2026-05-01", "2026-05-20"), (second, "2026-05-20", None)):
        hung = {"trap": trap.rec, "garden": garden.rec, "from_day": begin, "to_day": end}
        season.keep(season.phone.makes("placement", hung))
    for day, moths in (("2026-05-10", 5), ("2026-05-25", 12)):
        season.keep(season.phone.trap_visit(trap, moths, when=day, mode="on_liner"))
    records = from_entries(season.entries, "2026")
    whole = season_report(records)
    for garden in (season.garden, second):
        cut = season_report(of_garden(records, garden.rec))
        name = next(one.name for one in records.all(Garden) if one.rec == garden.rec)
        assert cut.traps == [trap for trap in whole.traps if trap.garden == name]
        assert len(cut.traps) == 1

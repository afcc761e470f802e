"""What the report says of its limits is what the table of simulated seasons says."""

from pathlib import Path

from shared_models.limit_words import (
    MUCH_DAMAGE_FIRM,
    NOT_NOTED_FIRM,
    ON_SOME_DAYS_FIRM,
    UNLIKE_SPREAD_FIRM,
    limit_sentences,
)

TABLE = Path(__file__).parents[1] / "simulations" / "TABLE.md"


def firm(cell: str) -> float:
    """The share of firm seasons of a cell of the table [per cent]."""
    [line] = [
        line for line in TABLE.read_text(encoding="utf-8").splitlines() if line.startswith(f"| {cell} |")
    ]
    return float(line.split("|")[-2])


def test_the_cells_that_miss_their_aim_are_told_with_their_figures():
    assert firm("4 against 12 trees, the few more unlike (ICC 0.20 and 0.03)") == UNLIKE_SPREAD_FIRM
    assert firm("8 trees a side, so taken off and nobody noted it") == NOT_NOTED_FIRM
    assert firm("10 trees a side, much damage (30 %)") == MUCH_DAMAGE_FIRM
    assert firm("10 trees a side, so scored, much damage (30 %)") == ON_SOME_DAYS_FIRM
    told = " ".join(limit_sentences())
    for share in (UNLIKE_SPREAD_FIRM, NOT_NOTED_FIRM, MUCH_DAMAGE_FIRM):
        assert f"{share:g} of 100" in told
    assert f"{ON_SOME_DAYS_FIRM:g} where" in told


def test_the_power_that_is_told_is_that_of_the_table():
    assert round(firm("5 trees a side, 8 against 25 %") / 10) == 4
    assert round(firm("12 trees a side, 8 against 25 %") / 10) == 8


def test_no_cell_without_a_difference_misses_its_aim_untold():
    text = TABLE.read_text(encoding="utf-8").split("## No true difference")[1].split("## A true")[0]
    rows = [
        line.split("|")
        for line in text.splitlines()
        if line.startswith("| ") and "trees" in line.split("|")[1]
    ]
    missed = [float(row[-2]) for row in rows if float(row[-2]) > 2.5]
    assert rows and sorted(missed) == sorted(
        [UNLIKE_SPREAD_FIRM, NOT_NOTED_FIRM, MUCH_DAMAGE_FIRM, ON_SOME_DAYS_FIRM]
    )

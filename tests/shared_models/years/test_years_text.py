"""The words of several years: every line said, nothing unknown told as none, nothing endless."""

from shared_models.language import together
from shared_models.years_text import years_as_text
from tests.shared_models.years.years_of import SEASONS, SmallYears


def test_nothing_at_all_is_said_in_plain_words():
    text = years_as_text(SmallYears().over_years())
    assert "no comparison was made in two seasons" in text


def test_three_years_are_told_side_by_side_and_together():
    years = SmallYears()
    trees = years.planted(12)
    for year in SEASONS:
        years.named(year)
        years.year(year, trees[:6], trees[6:], (2, 12))
    trap = years.keep(years.phone.trap(years.garden, "T1"))
    for year in SEASONS:
        for day, moths in (("05-01", 0), ("05-08", 4)):
            years.keep(years.phone.trap_visit(trap, moths, when=f"{year}-{day}"))
    text = years_as_text(years.over_years())
    for told in (
        "Seasons 2024, 2025, 2026",
        together("2025: 8.3 % against 41.7 %"),
        "Together: difference −33.3 points",
        "6 and 6 trees, each counted once; firm",
        "hours not noted",
        "0.5 hours",
        "T1: 2024 4 moths in 7 days, 2025 4 moths in 7 days; 1.00 times as many",
    ):
        assert told in text
    assert "nan" not in text and "inf " not in text and "None" not in text

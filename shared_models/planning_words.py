"""The words of what a number of trees can show: before a season is planned. No layout."""

from shared_models.language import say, say_many, spoken, word
from shared_models.report_words import percent
from shared_models.season.report_parts import NextSeason, NextSeasonLine, UsualFrom

_FROM = {
    UsualFrom.UNTREATED: word("as on the untreated trees of this season"),
    UsualFrom.ALL_TREES: word("as on all trees of this season"),
    UsualFrom.ASSUMED: word("an assumption, as no damage was scored"),
    UsualFrom.TYPED: word("as typed"),
}


def planning_sentence(found: NextSeason) -> str:
    """What the numbers rest on."""
    return say(
        "With {usual} % damage without the method ({where}), {fruit} fruit scored on each tree, likeness of fruit on one "
        "tree {icc}, and {comparisons}, each number of trees a side would find in 8 of 10 seasons:",
        usual=percent(found.usual),
        where=spoken(_FROM[found.usual_from]),
        fruit=found.fruit_per_tree,
        icc=f"{found.icc:.2f}",
        comparisons=say_many("{count} comparison", "{count} comparisons", found.comparisons),
    )


def line_sentence(line: NextSeasonLine) -> str:
    """What one number of trees shows."""
    if line.told_from is None:
        return say("{trees} trees: not even no damage at all could be told from it", trees=line.trees)
    return say("{trees} trees: {rate} % damage or less", trees=line.trees, rate=percent(line.told_from))

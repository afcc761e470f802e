"""The trees of a season, or of one line of its table: a dot each on one scale. A touch opens the ledger of a tree."""

from typing import Any

from mobile.screens.counted import CountedScreen
from mobile.widgets.chart_row import ChartList, DrawnRow
from mobile.widgets.words import Words
from mobile.workflows.season_trees import TreeDot, mix_called, tree_lines
from shared_models.language import say, word
from shared_models.reports import SeasonReport


class SeasonTreesScreen(CountedScreen[list[DrawnRow]]):
    """In walking order; `about` may name the line of the table."""

    title = word("Tree by tree")
    tab = "season"

    def nothing_yet(self) -> None:
        """There is no season any more."""
        self.reading.fill(Words(say("There is no season yet: name a garden first.")))

    def shown_of(self, report: SeasonReport, about: dict[str, Any]) -> list[DrawnRow]:
        """A row for each tree, below what they have in common."""
        mix = about.get("mix")
        called = (mix_called(report, mix) if mix else "") or say("All trees of the season")
        return [_first(called), *map(_row, tree_lines(report, mix))]

    def tell(self, rows: list[DrawnRow]) -> None:
        """All rows."""
        self.long_list(ChartList(lambda tree: self.go("season_tree", **self.about(tree=tree)), rows))


def _first(called: str) -> DrawnRow:
    caption = say("Damage of picked fruit on each tree, with the range that chance leaves; from 0 to 100 %.")
    return DrawnRow("", called, caption)


def _row(line: TreeDot) -> DrawnRow:
    if line.drawing is None:
        return DrawnRow(line.tree, line.name, line.numbers)
    return DrawnRow(line.tree, line.name, line.numbers, drawing=line.drawing)

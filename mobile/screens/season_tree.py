"""The ledger of one tree in a season: what it had, its share with its range, what was counted on it and when."""

from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.counted import CountedScreen
from mobile.widgets.buttons import Row
from mobile.widgets.chart import Chart
from mobile.widgets.columns import Card
from mobile.widgets.words import Words, heading, small
from mobile.workflows.season_trees import Ledger, tree_ledger
from shared_models.language import say, word
from shared_models.reports import SeasonReport
from shared_models.seasons import season_named


class SeasonTreeScreen(CountedScreen[tuple[str, Ledger | None]]):
    """`about` names the tree."""

    title = word("One tree")
    tab = "season"

    def nothing_yet(self) -> None:
        """There is no season any more."""
        self.reading.fill(Words(say("There is no season yet: name a garden first.")))

    def shown_of(self, report: SeasonReport, about: dict[str, Any]) -> tuple[str, Ledger | None]:
        """The season and the ledger."""
        return report.season, tree_ledger(report, about["tree"])

    def tell(self, shown: tuple[str, Ledger | None]) -> None:
        """Everything that the report has of it."""
        season, ledger = shown
        if ledger is None:
            self.reading.fill(Words(say("This tree is not in the report of this season.")))
            return
        tree, half = self.where.about["tree"], season_named(season).hemisphere.value
        years = Row(
            say("This tree over the years"),
            lambda: self.go("season_years", half=half, tree=tree),
            sign="season",
        )
        self.reading.fill(*_lines(ledger, season), years)


def _lines(ledger: Ledger, season: str) -> list[Widget]:
    counted = (
        [Card(Words(say("What was counted"), bold=True), *map(Words, ledger.parts))] if ledger.parts else []
    )
    return [
        heading(ledger.name),
        small(say("Season {season}", season=season)),
        *map(Words, ledger.lines),
        *(
            Card(Words(name, bold=True), Chart(drawing, ground_role="raised"), small(numbers))
            for name, numbers, drawing in ledger.alone
        ),
        *counted,
    ]

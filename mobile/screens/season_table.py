"""A table of the season, row by row: what stands behind a chart. A row about a tree leads to its ledger."""

from typing import Any

from mobile.screens.counted import CountedScreen
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.words import Words
from mobile.workflows.season_tables import Table, TableName, season_table
from shared_models.language import say, word
from shared_models.reports import SeasonReport


class SeasonTableScreen(CountedScreen[list[Listed]]):
    """`about` names the table, and the comparison where it is one's."""

    title = word("Table")
    tab = "season"

    def nothing_yet(self) -> None:
        """There is no season any more."""
        self.reading.fill(Words(say("There is no season yet: name a garden first.")))

    def shown_of(self, report: SeasonReport, about: dict[str, Any]) -> list[Listed]:
        """The rows of the table."""
        return _rows(season_table(report, TableName(about["table"]), about.get("of", "")))

    def tell(self, rows: list[Listed]) -> None:
        """All rows."""
        self.long_list(LongList(lambda tree: self.go("season_tree", **self.about(tree=tree)), rows))


def _rows(table: Table) -> list[Listed]:
    nothing = "" if table.rows else say("There is nothing in this table.")
    read_with = "\n".join(part for part in (table.read_with, nothing) if part)
    rows = [Listed(row.tree or "", row.about, row.says) for row in table.rows]
    return [Listed("", table.caption, read_with, "season"), *rows]

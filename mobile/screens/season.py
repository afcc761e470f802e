"""The Season place: which method kept fruit undamaged, how sure that is, what it took. Worked out on this phone.

What is said, and in which order, is the season page's; a touch on a line leads to its trees, a touch on a button to
the table behind a chart.
"""

from kivy.uix.widget import Widget

from mobile.screens.counted import CountedScreen
from mobile.screens.season_choice import choice_sheet
from mobile.screens.season_parts import (
    comparison_cards,
    empty_season,
    mix_rows,
    read_with,
    sentences,
    trap_charts,
    tree_lists,
)
from mobile.widgets.buttons import Action
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading, small
from mobile.workflows.season_tables import TableName
from mobile.workflows.season_view import SeasonView, season_view
from shared_models.language import say, word
from shared_models.reports import SeasonReport


class SeasonScreen(CountedScreen):
    """A long column; season and garden are chosen at the thumb."""

    title = word("Season")
    tab = "season"

    def show(self) -> None:
        """As counted last, at once; counted anew where something was recorded since."""
        self._again = small("")
        self._shown: SeasonView | None = None
        super().show()

    def nothing_yet(self) -> None:
        """What would make a season."""
        self.reading.fill(
            heading(say("No season yet")),
            Words(say("Name a garden first; its season is counted from what you record in it.")),
            Action(say("Name a garden"), lambda: self.go("name_garden"), sign="garden"),
        )

    def counting(self, again: bool) -> None:
        """A quiet line."""
        super().counting(again)
        self._again.text = say("Counting again, since something was recorded …") if again else ""
        self._fill_thumb()

    def tell(self, report: SeasonReport) -> None:
        """Fill the column, unless it says the same already; the place in it stays."""
        view, place = season_view(report), self.reading.scroll_y
        self._again.text = ""
        self._fill_thumb()
        if view == self._shown:
            return
        again, self._shown = self._shown is not None, view
        self.reading.fill(*self._top(view), *([empty_season()] if view.empty else self._parts(view)))
        if again:
            self.reading.scroll_y = place

    def _fill_thumb(self) -> None:
        choice = self.choice
        if choice is None or choice.season is None:
            return
        garden = dict(choice.gardens).get(choice.garden or "", say("all gardens"))
        shown = say("Season {season} · {garden}", season=choice.season, garden=garden)
        several = len(choice.seasons) > 1 or len(choice.gardens) > 1
        self.thumb.fill(*([Action(shown, self._choose, sign_after="on")] if several else []))

    def _choose(self) -> None:
        if self.choice is not None:
            self.lay(choice_sheet(self.choice, lambda **about: self.go("season", **about)))

    # ------------------------------------------------------------ parts
    def _top(self, view: SeasonView) -> list[Widget]:
        if self._again.parent is not None:
            self._again.parent.remove_widget(self._again)
        invented = [Notice(say("Invented: nothing here is real."))] if view.invented else []
        held = self.choice.held_until if self.choice else ""
        return [self._again, heading(say("Season {season}", season=view.season)), *invented, small(held)]

    def _parts(self, view: SeasonView) -> list[Widget]:
        return [
            *mix_rows(
                view, lambda mix: self.go("season_trees", **self.about(mix=mix)), self._table(TableName.MIXES)
            ),
            *read_with(view),
            *comparison_cards(
                view, lambda key: self.go("season_table", **self.about(table="contrast", of=key))
            ),
            *sentences(say("What it took"), view.costs, "tree"),
            *tree_lists(view, lambda: self.go("season_trees", **self.about()), self._table(TableName.TREES)),
            *trap_charts(view, self._table(TableName.WEEKS), self._table(TableName.VISITS)),
            *sentences(say("Have a look"), view.doubts, "warning"),
        ]

    def _table(self, name: TableName) -> Action:
        words = {
            TableName.MIXES: say("The same as a table"),
            TableName.TREES: say("What was counted on each tree"),
            TableName.WEEKS: say("Week by week as a table"),
            TableName.VISITS: say("Every visit to a trap"),
        }[name]
        return Action(
            words,
            lambda: self.go("season_table", **self.about(table=name.value)),
            sign_after="on",
            bold=False,
        )

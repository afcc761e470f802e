"""The Season place: which method kept fruit undamaged, how sure that is, what it took. Worked out on this phone.

What is said, and in which order, is the season page's; a touch on a line leads to its trees, a touch on a button to
the table behind a chart.
"""

from dataclasses import replace
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.around import Around
from mobile.screens.counted import CountedScreen
from mobile.screens.season_choice import choice_sheet, parts_sheet
from mobile.screens.season_parts import (
    Title,
    comparison_cards,
    empty_season,
    mix_rows,
    read_with,
    sentences,
    trap_charts,
    tree_lists,
)
from mobile.widgets.buttons import Action, Row
from mobile.widgets.columns import Line
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading, small
from mobile.workflows.season import SeasonChoice
from mobile.workflows.season_tables import TableName
from mobile.workflows.season_view import SeasonView, season_view
from shared_models.language import say, word
from shared_models.reports import SeasonReport
from shared_models.season.choice import EVERYTHING, Choice
from shared_models.seasons import season_named


class SeasonScreen(CountedScreen[SeasonView]):
    """A long column; season and garden are chosen at the thumb."""

    title = word("Season")
    tab = "season"

    def __init__(self, frame: Around) -> None:
        super().__init__(frame)
        self._places: dict[tuple[str | None, Choice], float] = {}  # how far each season was scrolled

    def left(self) -> None:
        """Come back to the same lines."""
        if self.choice is not None:
            self._places[self._which] = self.reading.scroll_y
        super().left()

    @property
    def _which(self) -> tuple[str | None, Choice]:
        return (self.choice.season, self.choice.of) if self.choice else (None, EVERYTHING)

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

    def shown_of(self, report: SeasonReport, about: dict[str, Any]) -> SeasonView:
        """Everything in sentences and drawings."""
        return season_view(report)

    def tell(self, view: SeasonView) -> None:
        """Fill the column, unless it says the same already; the place in it stays."""
        place = self.reading.scroll_y
        self._again.text = ""
        if view == self._shown:
            return
        again, self._shown = self._shown is not None, view
        self.reading.fill(*self._top(view), *([empty_season()] if view.empty else self._parts(view)))
        self._fill_thumb()
        self.reading.scroll_y = place if again else self._places.get(self._which, 1.0)

    def _fill_thumb(self) -> None:
        choice = self.choice
        if choice is None or choice.season is None:
            return
        buttons = [Action(self._looked_at(choice), self._choose, sign_after="on", size_hint_x=1.8)]
        if len(self._titles()) > 1:
            buttons.append(Action(say("Go to"), self._go_to_part))
        self.thumb.fill(Line(*buttons))

    def _looked_at(self, choice: SeasonChoice) -> str:
        garden = dict(choice.gardens).get(choice.of.garden or "", say("all gardens"))
        part = say(" · a part") if replace(choice.of, garden=None) != EVERYTHING else ""
        return say("Season {season} · {garden}", season=choice.season, garden=garden) + part

    def _titles(self) -> list[Title]:
        return [widget for widget in self.reading.column.children[::-1] if isinstance(widget, Title)]

    def _go_to_part(self) -> None:
        self.lay(parts_sheet(self._titles(), self._scroll_to))

    def _scroll_to(self, title: Title) -> None:
        """The heading comes to the upper edge."""
        column = self.reading.column
        above, hidden = column.top - title.y - title.height, column.height - self.reading.height
        self.reading.scroll_y = max(0.0, 1 - above / hidden) if hidden > 0 else 1.0

    def _choose(self) -> None:
        if self.choice is not None:
            cultivars = self._shown.cultivars if self._shown else ()
            self.lay(choice_sheet(self.choice, cultivars, lambda **about: self.go("season", **about)))

    # ------------------------------------------------------------ parts
    def _top(self, view: SeasonView) -> list[Widget]:
        if self._again.parent is not None:
            self._again.parent.remove_widget(self._again)
        invented = [Notice(say("Invented: nothing here is real."))] if view.invented else []
        held = self.choice.held_until if self.choice else ""
        chosen = [Words(sentence, bold=True) for sentence in view.chosen]
        return [
            self._again,
            heading(say("Season {season}", season=view.season)),
            *invented,
            small(held),
            *chosen,
        ]

    def _parts(self, view: SeasonView) -> list[Widget]:
        return [
            *mix_rows(
                view, lambda mix: self.go("season_trees", **self.about(mix=mix)), self._table(TableName.MIXES)
            ),
            *read_with(view),
            *comparison_cards(
                view, lambda key: self.go("season_table", **self.about(table="contrast", of=key))
            ),
            Row(say("Years side by side"), self._go_to_years, sign="season"),
            *sentences(say("What it took"), view.costs, "tree"),
            *tree_lists(view, lambda: self.go("season_trees", **self.about()), self._table(TableName.TREES)),
            *sentences(say("How the scoring was checked"), view.scoring, "fruit"),
            *trap_charts(view, self._table(TableName.WEEKS), self._table(TableName.VISITS)),
            *sentences(say("Have a look"), view.doubts, "warning"),
            *sentences(say("Before next season: what so many trees can show"), view.next_season, "tree"),
            *sentences(say("What this report cannot do"), view.limits, "warning"),
        ]

    def _go_to_years(self) -> None:
        if self.choice is not None and self.choice.season is not None:
            self.go("season_years", half=season_named(self.choice.season).hemisphere.value)

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

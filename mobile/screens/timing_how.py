"""How a garden's timing is worked out: each choice as it holds and whose it is, what is missing, and what bands rest on."""

from functools import partial
from typing import Any

from mobile.screens.screen import Screen
from mobile.screens.timing_sheets import (
    method_sheet,
    missing_sheet,
    rule_sheet,
    source_sheet,
    thresholds_sheet,
)
from mobile.widgets.buttons import Row
from mobile.widgets.columns import Card
from mobile.widgets.words import Words, heading, small
from mobile.workflows.timing_settings import (
    Asked,
    HowLine,
    HowPage,
    TimingChanged,
    change_timing,
    how_page,
    take_back,
)
from shared_models.language import say, word

SIGN_OF = {
    Asked.RULE: "moth",
    Asked.METHOD: "season",
    Asked.THRESHOLDS: "day",
    Asked.SOURCE: "garden",
    Asked.MISSING: "unsure",
}


class TimingHowScreen(Screen):
    """`about` names the garden."""

    title = word("How this is worked out")

    def show(self) -> None:
        """As it holds now."""
        garden = self.garden
        self.ask(lambda store: how_page(store, garden), self._tell)

    @property
    def garden(self) -> str:
        """The garden."""
        return str(self.where.about["garden"])

    def _tell(self, page: HowPage) -> None:
        self.reading.fill(
            heading(page.name),
            small(say("Season {season}. Touch a line to choose another way.", season=page.season)),
            *(self._row(page, line) for line in page.lines),
            *([Card(*map(Words, page.missing))] if page.missing else []),
            Words(say("What the days rest on"), bold=True),
            *map(small, page.explained),
            Row(say("What falls due, by which rules"), lambda: self.go("due_rules"), sign="clock"),
        )

    def _row(self, page: HowPage, line: HowLine) -> Row:
        ask = partial(self._ask, page, line.asked)
        return Row(line.question, ask, second=line.holds, sign=SIGN_OF[line.asked])

    def _ask(self, page: HowPage, asked: Asked) -> None:
        then = partial(self._choose, asked)
        if asked is Asked.RULE:
            self.lay(rule_sheet(page, then, self.lay))
        else:
            sheets = {
                Asked.METHOD: method_sheet,
                Asked.THRESHOLDS: thresholds_sheet,
                Asked.SOURCE: source_sheet,
                Asked.MISSING: missing_sheet,
            }
            self.lay(sheets[asked](page, then))

    def _choose(self, asked: Asked, everywhere: bool, chosen: dict[str, Any]) -> None:
        garden = self.garden
        self.ask(lambda store: change_timing(store, garden, asked, everywhere, **chosen), self._chosen)

    def _chosen(self, changed: TimingChanged) -> None:
        self.recorded(changed.sentence, lambda store: take_back(store, changed))
        self.again()

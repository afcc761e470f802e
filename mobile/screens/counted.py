"""What the screens of a season are made on: the report is worked out beside everything else, with a quiet line meanwhile.

A report that was made before is shown at once, also where it is made anew behind it.
"""

from typing import Any

from mobile.screens.screen import Screen
from mobile.widgets.words import small
from mobile.workflows.asking import Store
from mobile.workflows.season import KeptReport, SeasonChoice, kept_report, report_of, season_choice
from shared_models.language import say
from shared_models.reports import SeasonReport


class CountedScreen(Screen):
    """`self.where.about` names season and garden; a subclass fills itself in `tell`."""

    choice: SeasonChoice | None = None

    def show(self) -> None:
        """Ask what there is."""
        self.choice = None
        self.reading.fill(small(say("Looking …")))
        self.ask(self._what_is_here, self._here)

    def tell(self, report: SeasonReport) -> None:
        """Show the report; may be called a second time, with a newer one."""
        raise NotImplementedError

    def nothing_yet(self) -> None:
        """Show that there is no season yet."""
        raise NotImplementedError

    def counting(self, again: bool) -> None:
        """Say that it is being counted, `again` where an older report is shown meanwhile."""
        if not again:
            self.reading.fill(small(say("Counting what was recorded …")))

    def about(self, **more: Any) -> dict[str, Any]:
        """The plain arguments of a screen about the same season and garden."""
        assert self.choice is not None
        return {"season": self.choice.season, "garden": self.choice.garden, **more}

    # ------------------------------------------------------------ answers
    def _what_is_here(self, store: Store) -> tuple[SeasonChoice, KeptReport | None]:
        about = self.where.about
        choice = season_choice(store, about.get("season"), about.get("garden"))
        return choice, kept_report(store, choice.season, choice.garden) if choice.season else None

    def _here(self, found: tuple[SeasonChoice, KeptReport | None]) -> None:
        self.choice, kept = found
        if self.choice.season is None:
            self.nothing_yet()
            return
        if kept is not None:
            self.tell(kept.report)
        if kept is None or not kept.current:
            self.counting(again=kept is not None)
            season, garden = self.choice.season, self.choice.garden
            self.ask_long(lambda store: report_of(store, season, garden), self.tell)

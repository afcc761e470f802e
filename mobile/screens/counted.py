"""What the screens of a season are made on: the report is worked out beside everything else, with a quiet line meanwhile.

A report that was made before is shown at once, also where it is made anew behind it.
"""

from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from mobile.screens.screen import Screen
from mobile.widgets.words import small
from mobile.workflows.asking import Store
from mobile.workflows.season import (
    SeasonChoice,
    choice_from,
    kept_report,
    plain_choice,
    report_of,
    season_choice,
)
from shared_models.language import say
from shared_models.reports import SeasonReport

V = TypeVar("V")


class CountedScreen(Screen, Generic[V]):
    """`self.where.about` names season and what of it; a subclass says what is shown of the report, and fills itself with it."""

    choice: SeasonChoice | None = None

    def show(self) -> None:
        """Ask what there is."""
        self.choice = None
        self.reading.fill(small(say("Looking …")))
        about = self.where.about
        self.ask(lambda store: self._what_is_here(store, about), self._here)

    def shown_of(self, report: SeasonReport, about: dict[str, Any]) -> V:
        """What is shown of the report, by the arguments of the screen; made beside the drawing thread."""
        raise NotImplementedError

    def tell(self, shown: V) -> None:
        """Show it; may be called a second time, with what a newer report says."""
        raise NotImplementedError

    def nothing_yet(self) -> None:
        """Show that there is no season yet."""
        raise NotImplementedError

    def counting(self, again: bool) -> None:
        """Say that it is being counted, `again` where an older report is shown meanwhile."""
        if not again:
            self.reading.fill(small(say("Counting what was recorded …")))

    def about(self, **more: Any) -> dict[str, Any]:
        """The plain arguments of a screen about the same season and the same part of it."""
        assert self.choice is not None
        return {"season": self.choice.season, **plain_choice(self.choice.of), **more}

    # ------------------------------------------------------------ answers
    def _what_is_here(self, store: Store, about: dict[str, Any]) -> "tuple[SeasonChoice, _Kept[V] | None]":
        choice = season_choice(store, about.get("season"), choice_from(about))
        kept = kept_report(store, choice.season, choice.of) if choice.season else None
        return choice, _Kept(self.shown_of(kept.report, about), kept.current) if kept else None

    def _here(self, found: "tuple[SeasonChoice, _Kept[V] | None]") -> None:
        self.choice, kept = found
        if self.choice.season is None:
            self.nothing_yet()
            return
        if kept is not None:
            self.tell(kept.shown)
        if kept is None or not kept.current:
            self.counting(again=kept is not None)
            season, of, about = self.choice.season, self.choice.of, self.where.about
            self.ask_long(lambda store: self.shown_of(report_of(store, season, of), about), self.tell)


@dataclass(frozen=True, slots=True)
class _Kept(Generic[V]):
    """What is shown of a report that was made before, and whether it still holds."""

    shown: V
    current: bool

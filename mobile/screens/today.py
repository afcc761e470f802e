"""Today: what was being done, where to keep out, what is due. Every line leads to where it is done."""

from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.places import SCREENS
from mobile.screens.screen import Screen
from mobile.screens.steps import step_rows
from mobile.widgets.buttons import Action, Row
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.first_start import StepLine, steps
from mobile.workflows.today import Due, DueKind, GoOn, TodayView, today_view
from shared_models.language import say, word

# Which screen goes on with an unfinished visit, by its round; it is told the visit and the trap or tree.
GOES_ON_AT = {"trap": "trap", "bagging": "bag_tree", "picking": "pick_tree", "drops": "drops_tree"}
SIGN_OF_ROUND = {"trap": "trap", "bagging": "bag", "picking": "fruit", "drops": "drop"}
# Which screen does what is due; it is told the trap or the garden.
DONE_AT = {DueKind.TRAP: "trap", DueKind.LURE: "trap", DueKind.LINER: "trap", DueKind.DROPS: "drops"}
SIGN_OF = {DueKind.TRAP: "trap", DueKind.LURE: "moth", DueKind.LINER: "trap", DueKind.DROPS: "drop"}


class TodayScreen(Screen):
    """Lines in walking order."""

    title = word("Today")
    tab = "today"

    def show(self) -> None:
        """As it is now."""
        self.ask(_today_and_steps, self._tell)

    def _tell(self, found: tuple[TodayView, list[StepLine]]) -> None:
        view, beginning = found
        open_steps = step_rows(self, beginning, only_open=True)
        due: list[Widget] = [self._due(line) for line in view.due]
        self.reading.fill(
            heading(view.day),
            *(self._go_on(visit) for visit in view.go_on),
            *(Notice(line.sentence) for line in view.keep_out),
            *([Words(say("To do, in walking order"), bold=True)] if due else []),
            *due,
            *([Words(say("To begin with"), bold=True)] if open_steps else []),
            *open_steps,
            *([] if due or open_steps or view.go_on else [Words(_nothing_due())]),
            *self._elsewhere(),
        )
        self.thumb.fill(Action(say("Record something else"), lambda: self.go("something_else"), sign="more"))

    def _elsewhere(self) -> list[Widget]:
        places = [
            ("history", "clock", say("History")),
            ("orchard", "garden", say("Trees and traps")),
            ("sharing", "person", say("Sharing")),
            ("settings", "work", say("Settings")),
        ]
        return [
            Row(words, partial(self.go, name), sign=sign) for name, sign, words in places if name in SCREENS
        ]

    def _go_on(self, visit: GoOn) -> Widget:
        sign = SIGN_OF_ROUND.get(visit.round, "done")
        screen = GOES_ON_AT.get(visit.round, "")
        if screen not in SCREENS:
            return Row(visit.sentence, sign=sign, sign_after="", disabled=True)
        about = {"trap" if visit.round == "trap" else "tree": visit.of, "visit": visit.visit}
        return Row(visit.sentence, lambda: self.go(screen, **about), sign=sign, edge_role="ink", bold=True)

    def _due(self, due: Due) -> Widget:
        screen = DONE_AT.get(due.kind, "")
        if screen not in SCREENS:
            return Row(due.sentence, sign=SIGN_OF.get(due.kind, "clock"), sign_after="", disabled=True)
        about = {"trap": due.trap} if due.trap else {"garden": due.garden}
        return Row(due.sentence, lambda: self.go(screen, **about), sign=SIGN_OF.get(due.kind, "clock"))


def _today_and_steps(store: Store) -> tuple[TodayView, list[StepLine]]:
    return today_view(store), steps(store)


def _nothing_due() -> str:
    return say("Nothing is due. Traps come up here when three days have passed since they were counted.")

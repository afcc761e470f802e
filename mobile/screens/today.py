"""Today: flight, a copy to make, what was being done, where to keep out, what is due and why, heat. Every line leads to where it is done."""

from collections.abc import Sequence
from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.places import SCREENS
from mobile.screens.screen import Screen
from mobile.screens.steps import step_rows
from mobile.widgets.buttons import Action, Row
from mobile.widgets.columns import Even
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.copy_reminder import CopyReminder, not_put_off, put_off
from mobile.workflows.device_choices import choose
from mobile.workflows.due import BAND
from mobile.workflows.first_start import StepLine, steps
from mobile.workflows.flight_notices import FlightNotice, mute_flight, put_away, put_back
from mobile.workflows.timing import HeatLine
from mobile.workflows.today import Due, DueKind, GoOn, TodayView, today_view
from shared_models.language import say, word

# Which screen goes on with an unfinished visit, by its round; it is told the visit and the trap or tree.
GOES_ON_AT = {"trap": "trap", "bagging": "bag_tree", "picking": "pick_tree", "drops": "drops_tree"}
SIGN_OF_ROUND = {"trap": "trap", "bagging": "bag", "picking": "fruit", "drops": "drop"}
# Which screen does what is due; it is told the trap or the garden.
DONE_AT = {
    DueKind.TRAP: "trap",
    DueKind.LURE: "trap",
    DueKind.LINER: "trap",
    DueKind.HANG: "hang_trap",
    DueKind.BAGGING: "bags",
    DueKind.BAG_CHECK: "bags",
    DueKind.DROPS: "drops",
    DueKind.BANDS_ON: "job",
    DueKind.BANDS_OFF: "job",
}
SIGN_OF = {
    DueKind.TRAP: "trap",
    DueKind.LURE: "moth",
    DueKind.LINER: "trap",
    DueKind.HANG: "trap",
    DueKind.BAGGING: "bag",
    DueKind.BAG_CHECK: "bag",
    DueKind.DROPS: "drop",
    DueKind.BANDS_ON: "tree",
    DueKind.BANDS_OFF: "tree",
}


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
        due = self._all_due(view.due)
        self.reading.fill(
            heading(view.day),
            *(self._notice(notice) for notice in view.notices),
            *([self._copy(view.copy)] if view.copy else []),
            *(self._go_on(visit) for visit in view.go_on),
            *(Notice(line.sentence) for line in view.keep_out),
            *([Words(say("To do, in walking order"), bold=True)] if due else []),
            *due,
            *([Words(say("To begin with"), bold=True)] if open_steps else []),
            *open_steps,
            *([] if due or open_steps or view.go_on else [Words(_nothing_due())]),
            *self._heat(view.heat),
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

    # ------------------------------------------------------------ what is due
    def _all_due(self, lines: Sequence[Due]) -> list[Widget]:
        """Each line with why it is due; a reason that several share stands below the first of them."""
        told: set[str] = set()
        rows: list[Widget] = []
        for due in lines:
            rows.append(self._due(due, "" if due.reason in told else due.reason))
            told.add(due.reason)
        return [*rows, *([self._rules()] if rows else [])]

    def _due(self, due: Due, reason: str) -> Widget:
        about = {"trap": due.trap} if due.trap else {"garden": due.garden}
        if DONE_AT[due.kind] == "job":
            about["method"] = BAND
        there = partial(self.go, DONE_AT[due.kind], **about)
        return Row(due.sentence, there, second=reason, sign=SIGN_OF[due.kind])

    def _rules(self) -> Row:
        return Row(say("Change the rules by which work falls due"), lambda: self.go("due_rules"), sign="work")

    # ------------------------------------------------------------ flight and heat
    def _notice(self, notice: FlightNotice) -> Widget:
        when = Action(say("When, in this garden"), partial(self._when, notice.garden), sign="moth")
        read = Action(say("I have read it"), partial(self._put_away, notice), bold=False)
        mute = Action(say("No such notices for me"), self._mute, bold=False)
        return Notice(notice.sentence, when, Even(read, mute))

    def _put_away(self, notice: FlightNotice) -> None:
        def away(_: object) -> None:
            self.recorded(say("The notice is put away on this phone."), lambda store: put_back(store, notice))
            self.again()

        self.ask(lambda store: put_away(store, notice), away)

    def _mute(self) -> None:
        def muted(_: object) -> None:
            sentence = say(
                "No flight notices for you any more; Settings bring them back. Others still get them."
            )
            self.recorded(sentence, lambda store: mute_flight(store, False))
            self.again()

        self.ask(mute_flight, muted)

    # ------------------------------------------------------------ copies
    def _copy(self, reminder: CopyReminder) -> Widget:
        make = Action(say("Make a copy"), lambda: self.go("copies"), sign="copy")
        later = Action(say("In a week"), self._put_off, bold=False)
        never = Action(say("Never ask"), self._never_ask, bold=False)
        return Notice(reminder.sentence, make, Even(later, never))

    def _put_off(self) -> None:
        def later(_: object) -> None:
            self.recorded(say("You are asked for a copy in a week."), not_put_off)
            self.again()

        self.ask(put_off, later)

    def _never_ask(self) -> None:
        def never(_: object) -> None:
            sentence = say("You are never asked for a copy; Settings bring the question back.")
            self.recorded(sentence, lambda store: choose(store, remind_of_copies=True))
            self.again()

        self.ask(lambda store: choose(store, remind_of_copies=False), never)

    def _heat(self, lines: Sequence[HeatLine]) -> list[Widget]:
        rows = [
            Row(line.sentence, partial(self._when, line.garden), second=line.reason, sign="clock")
            for line in lines
        ]
        return [Words(say("When, garden by garden"), bold=True), *rows] if rows else []

    def _when(self, garden: str) -> None:
        self.go("timing", garden=garden)


def _today_and_steps(store: Store) -> tuple[TodayView, list[StepLine]]:
    return today_view(store), steps(store)


def _nothing_due() -> str:
    return say("Nothing is due. Traps come up here when it is time to count them again.")

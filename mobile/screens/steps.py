"""After the first start: name a garden, add trees, hang a trap. Each done in under a minute, each may be left out."""

from functools import partial

from mobile.screens.look_around import look_around_row
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary, Row
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.first_start import Step, StepLine, steps
from shared_models.language import say, word

LEADS_TO = {Step.GARDEN: "name_garden", Step.TREES: "row_of_trees", Step.TRAP: "hang_trap"}
SIGNS = {Step.GARDEN: "garden", Step.TREES: "tree", Step.TRAP: "trap"}


class StepsScreen(Screen):
    """Three lines; what is done has the sign of it."""

    title = word("A beginning")

    def show(self) -> None:
        """The lines as they are now."""
        self.ask(steps, self._tell)

    def _tell(self, lines: list[StepLine]) -> None:
        self.reading.fill(
            heading(say("Three things to begin with")),
            Words(
                say("Each takes less than a minute. Leave out what you do not need; it can be done later.")
            ),
            *step_rows(self, lines),
            look_around_row(self),
        )

    def beside_back(self) -> list[Touchable]:
        """Leave it at that."""
        return [Primary(say("Go to Today"), lambda: self.go("today"))]


def step_rows(screen: Screen, lines: list[StepLine], only_open: bool = False) -> list[Row]:
    """A row for each step; trees and traps need a garden first, so until then they lead to it."""
    garden = any(line.done for line in lines if line.step is Step.GARDEN)
    return [
        Row(
            line.sentence,
            partial(screen.go, LEADS_TO[line.step if garden else Step.GARDEN]),
            second=say("done") if line.done else "",
            sign="done" if line.done else SIGNS[line.step],
        )
        for line in lines
        if not (only_open and line.done)
    ]

"""Whatever has no place of its own: a drops round, a day's temperature, a growth stage, and work on trees."""

from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Row
from mobile.widgets.words import Words, heading, small
from mobile.workflows.job_form import JobChoice, jobs_to_choose
from shared_models.language import say, word


class SomethingElseScreen(Screen):
    """A list that always stands in the same order, so that the thumb learns it."""

    title = word("Record something else")

    def show(self) -> None:
        """As it was last done."""
        self.ask(jobs_to_choose, self._tell)

    def _tell(self, choices: list[JobChoice]) -> None:
        sprays = [choice for choice in choices if choice.is_spray]
        others = [choice for choice in choices if not choice.is_spray]
        self.reading.fill(
            heading(say("What was done or seen?")),
            Row(say("Drops round"), partial(self.go, "drops"), sign="drop"),
            Row(say("Temperature of a day"), partial(self.go, "temperature"), sign="day"),
            Row(say("Growth stage"), partial(self.go, "stage"), sign="tree"),
            Row(say("A note"), partial(self.go, "note"), sign="note"),
            Words(say("Work on trees"), bold=True),
            *(self._job(choice) for choice in others),
            Words(say("Sprays"), bold=True),
            small(say("With what your own label says; nothing is recommended here.")),
            *(self._job(choice) for choice in sprays),
        )

    def _job(self, choice: JobChoice) -> Widget:
        sign = "spray" if choice.is_spray else "work"
        return Row(choice.name, partial(self.go, "job", method=choice.key), second=choice.last, sign=sign)

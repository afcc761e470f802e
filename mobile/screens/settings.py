"""How this device looks and feels, whose it is, and the ways to the rules of timing. Choices take effect at the touch."""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.copies import copies_row
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Row
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.device_choices import DeviceChoices, choices, choose
from mobile.workflows.first_start import gardens, my_name_and_zone
from mobile.workflows.flight_notices import is_muted, mute_flight
from shared_models.language import say, word
from shared_models.records.gardens import Garden


class SettingsScreen(Screen):
    """One question below the other, each with the answer that holds."""

    title = word("Settings")

    def show(self) -> None:
        """As chosen."""
        self.ask(_here, self._tell)

    def _tell(self, here: tuple[DeviceChoices, str, list[Garden], bool]) -> None:
        chosen, whose, known, muted = here
        self.reading.fill(
            heading(say("How this phone looks and feels")),
            Words(say("Colours")),
            Choice(
                [("sun", say("Dark on light, for the sun")), ("dusk", say("Light on dark, for dusk"))],
                partial(self._choose, "scheme"),
                chosen.scheme,
            ),
            Words(say("Size of type")),
            Choice(
                [(1.0, say("100 %")), (1.25, say("125 %")), (1.5, say("150 %"))],
                partial(self._choose, "type_size"),
                chosen.type_size,
            ),
            Words(say("After each touch that records")),
            OnOff(say("Buzz"), partial(self._choose, "buzz"), chosen.buzz),
            OnOff(say("Click"), partial(self._choose, "click"), chosen.click),
            Words(say("With the phone on its side, the keys stand")),
            Choice(
                [(False, say("At the right")), (True, say("At the left"))],
                partial(self._choose, "keys_left"),
                chosen.keys_left,
            ),
            Words(say("With the group")),
            OnOff(
                say("Share without being asked"), partial(self._choose, "shares_itself"), chosen.shares_itself
            ),
            Words(say("Who records here"), bold=True),
            small(whose),
            Row(say("People who help"), lambda: self.go("people"), sign="person"),
            small(say("None of this is shared, but the names of people are.")),
            *self._copies(chosen),
            *self._when(known, muted),
        )

    def _copies(self, chosen: DeviceChoices) -> list[Widget]:
        return [
            heading(say("If this phone is lost")),
            copies_row(self),
            OnOff(
                say("Remind me to make a copy"),
                partial(self._choose, "remind_of_copies"),
                chosen.remind_of_copies,
            ),
            small(say("Once a week, while something is recorded that is nowhere else.")),
        ]

    def _when(self, known: list[Garden], muted: bool) -> list[Widget]:
        ways = [
            Row(
                say("How timing is worked out: {garden}", garden=garden.name),
                partial(self.go, "timing_how", garden=garden.rec),
                sign="clock",
            )
            for garden in known
        ]
        return [
            heading(say("When work falls due")),
            Row(say("What falls due, by which rules"), lambda: self.go("due_rules"), sign="work"),
            *ways,
            OnOff(say("Tell me of flight in the traps"), self._tell_of_flight, not muted),
            small(say("Rules and timing hold for the whole group; notices are each person’s own choice.")),
        ]

    def _tell_of_flight(self, wanted: bool) -> None:
        self.ask(lambda store: mute_flight(store, not wanted), lambda _: None)

    def _choose(self, name: str, value: Any) -> None:
        def work(store: Store) -> DeviceChoices:
            return choose(store, **{name: value})

        self.ask(work, self.frame.errands.take_choices)


def _here(store: Store) -> tuple[DeviceChoices, str, list[Garden], bool]:
    return choices(store), my_name_and_zone(store), gardens(store), is_muted(store)

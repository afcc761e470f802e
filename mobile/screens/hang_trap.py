"""Hanging a trap: its label, the garden it serves, and where it hangs."""

from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.fields import TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import heading, small
from mobile.workflows.asking import Store
from mobile.workflows.first_start import gardens
from mobile.workflows.traps import TrapHung, hang_trap, next_label
from shared_models.language import say, word
from shared_models.records.gardens import Garden


class HangTrapScreen(Screen):
    """The next number is offered as its label; `about` may name the garden."""

    title = word("Hang a trap")

    def show(self) -> None:
        """As it was typed."""
        self.ask(_gardens_and_label, self._tell)

    def beside_back(self) -> list[Touchable]:
        """Keep it."""
        return [Primary(say("Hang it today"), self._keep)]

    def _tell(self, found: tuple[list[Garden], str]) -> None:
        known, label = found
        draft = self.where.draft
        garden = draft.get("garden") or self.where.about.get("garden")
        asked, self._garden = garden_question(known, garden, self._chosen)
        self._label = TextField(
            say("What is written on it?"), draft.get("label", label), lambda text: self.keep(label=text)
        )
        self._place = TextField(
            say("Where does it hang, if that helps?"),
            draft.get("place", ""),
            lambda text: self.keep(place=text),
        )
        self.reading.fill(
            heading(say("A trap for codling moth")),
            self._label,
            *asked,
            self._place,
            small(say("It comes last in walking order; count it for the first time when you next pass.")),
        )

    def _chosen(self, garden: str) -> None:
        self._garden = garden
        self.keep(garden=garden)

    def _keep(self) -> None:
        label, place, garden = self._label.text, self._place.text or None, self._garden
        if not label:
            self._label.error = say(
                "Give it a label, such as a number, so that everybody finds the same trap."
            )
        elif garden is None:
            self.apologise(say("A trap hangs in a garden; name one first."))
        else:
            self.ask(
                lambda store: hang_trap(store, label, garden, place=place),
                lambda hung: self._kept(label, hung),
            )

    def _kept(self, label: str, hung: TrapHung) -> None:
        def undo(store: Store) -> None:
            store.undo(hung.placement)
            store.undo(hung.trap)

        self.recorded(" ".join([say("Trap {label} hangs.", label=label), *hung.notes]), undo)
        self.back()


def _gardens_and_label(store: Store) -> tuple[list[Garden], str]:
    return gardens(store), next_label(store)

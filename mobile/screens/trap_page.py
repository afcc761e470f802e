"""One trap as a thing: its label, where it hangs, its place in walking order, and when it is taken down."""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.apart_cards import apart_cards
from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import heading, small
from mobile.workflows.asking import Store, Work
from mobile.workflows.orchard import TrapPage, trap_page
from mobile.workflows.traps import (
    TrapHung,
    hang_again,
    move_trap,
    put_traps_in_order,
    rename_trap,
    take_back_move,
    take_trap_down,
)
from shared_models.errors import BadInputError
from shared_models.language import say, word


class TrapPageScreen(Screen):
    """`about` names the trap."""

    title = word("A trap")

    def show(self) -> None:
        """As it hangs."""
        trap = self.trap
        self.ask(lambda store: trap_page(store, trap), self._tell)

    @property
    def trap(self) -> str:
        """The trap."""
        return str(self.where.about["trap"])

    def _tell(self, page: TrapPage) -> None:
        self._page = page
        label = page.record.label
        self.reading.fill(
            heading(say("Trap {trap}", trap=label)),
            small(page.about),
            *apart_cards(self, page.apart),
            Row(say("History of this trap"), partial(self.go, "history", trap=self.trap), sign="clock"),
            *(self._hanging(page) if not page.record.retired else []),
            Row(
                say("Write a note about it"),
                partial(self.go, "note", about=self.trap, named=say("trap {trap}", trap=label)),
                sign="note",
            ),
            Action(
                say("Hang it again") if page.record.retired else say("Take it down today"),
                self._hang_again if page.record.retired else self._take_down,
                bold=False,
                middle=False,
                sign="trap",
            ),
        )

    def _hanging(self, page: TrapPage) -> list[Widget]:
        at = page.order.index(self.trap)
        after = (
            say("after trap {trap}", trap=page.labels[page.order[at - 1]])
            if at
            else say("first in its garden")
        )
        return [
            Row(say("Count it"), partial(self.go, "trap", trap=self.trap), sign="moth"),
            Row(say("Give it another label"), self._ask_label, second=page.record.label, sign="note"),
            Row(say("It hangs elsewhere now"), self._ask_place, second=page.place, sign="tree"),
            Row(say("Place in walking order"), self._ask_order, second=after, sign="on"),
        ]

    # ------------------------------------------------------------ asking
    def _ask_label(self) -> None:
        before, field = self._page.record.label, TextField(say("Label"), self._page.record.label)

        def keep() -> None:
            label = field.text
            if not label:
                field.error = say("A trap needs a label, so that everybody finds the same one.")
                return
            sheet.close()
            self._do(
                lambda store: rename_trap(store, self.trap, label),
                say("It is trap {trap} now.", trap=label),
                lambda store: rename_trap(store, self.trap, before),
            )

        sheet = Sheet(say("What is written on it?"), field, Primary(say("Keep this label"), keep))
        self.lay(sheet)

    def _ask_place(self) -> None:
        chosen: dict[str, str | None] = {"garden": None}
        asked, _ = garden_question(
            self._page.gardens, self._page.record.garden, lambda garden: chosen.update(garden=garden)
        )
        place, height = TextField(say("Where does it hang?")), NumberField(say("How high, in m?"))

        def keep() -> None:
            try:
                high = height.number()
            except BadInputError:
                return  # the field says it
            where, garden = place.text or None, chosen["garden"]
            sheet.close()
            self.ask(
                lambda store: move_trap(store, self.trap, place=where, height_m=high, garden=garden),
                self._moved,
            )

        sheet = Sheet(
            say("Where does it hang from today on?"),
            place,
            height,
            *asked,
            Primary(say("It hangs there"), keep),
        )
        self.lay(sheet)

    def _moved(self, hung: TrapHung) -> None:
        trap, garden = self.trap, self._page.record.garden

        def back(store: Store) -> None:
            take_back_move(store, trap, hung.placement, garden)

        doubts = [doubt.sentence for doubt in hung.doubts]
        self._done(" ".join([say("It hangs there from today on."), *doubts]), back)

    def _ask_order(self) -> None:
        sheet = Sheet(say("Where does one walk to it?"))
        others = [trap for trap in self._page.order if trap != self.trap]

        def put(place: int) -> None:
            sheet.close()
            before = self._page.order
            order = [*others[:place], self.trap, *others[place:]]
            self._do(
                lambda store: put_traps_in_order(store, order),
                say("The walking order is changed."),
                lambda store: put_traps_in_order(store, before),
            )

        words = [
            say("First in its garden"),
            *(say("After trap {trap}", trap=self._page.labels[one]) for one in others),
        ]
        for place, text in enumerate(words):
            sheet.paper.column.add_widget(Action(text, partial(put, place), bold=False))
        self.lay(sheet)

    # ------------------------------------------------------------ down and up
    def _take_down(self) -> None:
        self._do(
            lambda store: take_trap_down(store, self.trap),
            say("Trap {trap} is taken down; its counts stay.", trap=self._page.record.label),
            lambda store: hang_again(store, self.trap),
        )

    def _hang_again(self) -> None:
        self._do(
            lambda store: hang_again(store, self.trap),
            say("Trap {trap} hangs again.", trap=self._page.record.label),
            lambda store: take_trap_down(store, self.trap),
        )

    def _do(self, work: Work[Any], sentence: str, back: Work[Any]) -> None:
        self.ask(work, lambda _: self._done(sentence, back))

    def _done(self, sentence: str, back: Work[Any]) -> None:
        self.recorded(sentence, back)
        self.again()

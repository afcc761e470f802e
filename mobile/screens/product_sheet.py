"""One product of a mix, typed from the person's own label. Nothing is filled in; every letter is kept as it is typed."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import OnOff
from mobile.widgets.columns import Line
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.job_form import ProductForm
from mobile.workflows.spray import NOT_GIVEN, UNTIL_DRY
from shared_models.language import say

NO_NUMBER = (NOT_GIVEN, UNTIL_DRY)


class ProductSheet(Sheet):
    """`keep` is told every change, `done` when the person is through, `drop` where it is none of the mix."""

    def __init__(
        self,
        product: ProductForm,
        keep: Callable[[ProductForm], Any],
        done: Callable[[], Any],
        drop: Callable[[], Any],
    ) -> None:
        super().__init__(say("From its label"))
        self._product, self._keep = product, keep
        self._switches: dict[str, list[tuple[str, OnOff]]] = {}
        self._fields: dict[str, TextField] = {}
        for widget in (*self._names(), *self._intervals(), *self._limits()):
            self.paper.column.add_widget(widget)
        self.paper.column.add_widget(Primary(say("Keep this product"), lambda: self._end(done)))
        self.paper.column.add_widget(
            Action(say("Take it out of the mix"), lambda: self._end(drop), bold=False)
        )

    def _names(self) -> list[Widget]:
        return [
            small(say("Type what stands on your own label; leave out what does not. The label is the law.")),
            self._text("name", say("Product, as labelled")),
            self._text("registration", say("Registration number")),
            self._text("active_substance", say("Active substance")),
            self._text("rate", say("Rate with its unit")),
            Line(self._number("amount", say("Amount used")), self._text("amount_unit", say("Unit"))),
        ]

    def _intervals(self) -> list[Widget]:
        return [
            self._number("pre_harvest_days", say("Days from spraying to picking")),
            self._switch("pre_harvest_days", NOT_GIVEN, say("The label gives no days to picking")),
            self._number("re_entry_hours", say("Hours until people may go in")),
            self._switch("re_entry_hours", UNTIL_DRY, say("Until the spray is dry")),
            self._switch("re_entry_hours", NOT_GIVEN, say("The label gives no hours")),
        ]

    def _limits(self) -> list[Widget]:
        return [
            self._number("most_applications", say("Most applications a season")),
            self._number("least_interval_days", say("Least days between two")),
            self._switch("flower", "yes", say("Not while in flower, says the label")),
        ]

    def _text(self, name: str, question: str) -> TextField:
        return TextField(question, getattr(self._product, name), lambda text: self._set(name, text))

    def _number(self, name: str, question: str) -> NumberField:
        text = getattr(self._product, name)
        field = NumberField(question, "" if text in NO_NUMBER else text, lambda typed: self._set(name, typed))
        self._fields[name] = field
        return field

    def _switch(self, name: str, value: str, words: str) -> OnOff:
        on = getattr(self._product, name) == value
        switch = OnOff(words, lambda yes: self._turned(name, value, yes), on)
        self._switches.setdefault(name, []).append((value, switch))
        return switch

    def _turned(self, name: str, value: str, yes: bool) -> None:
        if name in self._fields and yes:
            self._fields[name].typed.text = ""
        self._set(name, value if yes else "")

    def _set(self, name: str, text: str) -> None:
        self._product = replace(self._product, **{name: text})
        for value, switch in self._switches.get(name, ()):
            switch.on = value == text
        self._keep(self._product)

    def _end(self, then: Callable[[], Any]) -> None:
        self.close()
        then()


def product_words(product: ProductForm) -> Words:
    """The facts of a product that were typed, in a few lines."""
    typed = [
        product.rate,
        say("{days} days to picking", days=product.pre_harvest_days)
        if product.pre_harvest_days.isdecimal()
        else "",
        say("{hours} hours until people may go in", hours=product.re_entry_hours)
        if product.re_entry_hours not in ("", *NO_NUMBER)
        else "",
    ]
    return small(" · ".join(text for text in typed if text))

"""Work on many trees at once, sprays too: when, which trees, how long; of a spray what its label says.

Everything typed is kept at once and recorded by one button; what there is to read about it comes after that too.
"""

from dataclasses import asdict
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.history_parts import one_of_sheet
from mobile.screens.product_sheet import ProductSheet, product_words
from mobile.screens.screen import Screen
from mobile.screens.when import WhenLine, told_of
from mobile.screens.which_trees import which_trees
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.choices import OnOff
from mobile.widgets.columns import Card
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.notices import Notice
from mobile.widgets.sheet import Sheet
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.job_form import (
    FormRecorded,
    JobForm,
    JobOffered,
    ProductForm,
    form_from,
    job_offered,
    record_form,
)
from mobile.workflows.tree_words import TreesChosen
from shared_models.language import capital, say, word


class JobScreen(Screen):
    """`about` names the method; what stands in the form is the draft."""

    title = word("Work on trees")

    def show(self) -> None:
        """As it was typed."""
        self._more = False
        self._fresh()

    def beside_back(self) -> list[Touchable]:
        """Record it."""
        return [Primary(say("Record this"), self._record)]

    @property
    def form(self) -> JobForm:
        """What stands in the form."""
        return form_from(str(self.where.about["method"]), self.where.draft, told_of(self.where))

    # ------------------------------------------------------------ what is shown
    def _fresh(self, *_: object) -> None:
        form = self.form
        self.ask(lambda store: job_offered(store, form), self._tell)

    def _tell(self, offered: JobOffered) -> None:
        form, place = self.form, self.reading.scroll_y
        self._offered = offered
        self.reading.fill(
            heading(offered.method_name),
            *self._on_what(offered),
            WhenLine(self, self._fresh),
            Row(say("Who? {who}", who=offered.who), self._ask_who, sign="person"),
            *(self._products(form, offered) if form.is_spray else []),
            self._number("minutes", say("How many minutes did it take?")),
            self._number("people", say("How many people were at it?")),
            OnOff(say("Only partly done"), lambda yes: self.keep(partly=yes), form.partly),
            *self._further(form),
            *(Notice(sentence) for sentence in offered.cautions),
        )
        self.reading.scroll_y = place

    def _on_what(self, offered: JobOffered) -> list[Widget]:
        ask = partial(which_trees, self, offered.offers, self._chosen)
        if offered.on is not None:
            on = capital(offered.on.in_words)
            return [Row(on, ask, second=say("touch to change"), sign="tree", bold=True)]
        last = [one.last_time for one in offered.offers if one.last_time]
        return [
            *(
                Action(
                    say("Same as last time"),
                    partial(self._chosen, one),
                    second=one.in_words,
                    middle=False,
                    sign="tree",
                )
                for one in last
            ),
            Row(say("Which trees?"), ask, sign="tree", edge_role="ink", bold=True),
        ]

    def _chosen(self, on: TreesChosen) -> None:
        self.keep(garden=on.garden, trees=list(on.trees), chosen=True)
        self._fresh()

    def _ask_who(self) -> None:
        options = [(line.person, line.name) for line in self._offered.people]
        self.lay(one_of_sheet(say("Who did it?"), options, self._did_it))

    def _did_it(self, person: str) -> None:
        self.keep(done_by=person)
        self._fresh()

    # ------------------------------------------------------------ label facts
    def _products(self, form: JobForm, offered: JobOffered) -> list[Widget]:
        cards = [
            Card(
                Row(
                    product.name or say("A product without a name yet"),
                    partial(self._open_product, place),
                    sign="spray",
                ),
                product_words(product),
            )
            for place, product in enumerate(form.products)
        ]
        before = [
            Action(
                say("As typed before: {name}", name=product.name),
                partial(self._add_product, product),
                second=say("check it against the label in your hand"),
                bold=False,
                middle=False,
            )
            for product in offered.typed_before
        ]
        add = Action(say("Type a product's label"), partial(self._add_product, ProductForm()), sign="more")
        return [Words(say("What was sprayed"), bold=True), *cards, add, *before]

    def _add_product(self, product: ProductForm) -> None:
        self._keep_products([*self.form.products, product])
        self._open_product(len(self.form.products) - 1)

    def _open_product(self, place: int) -> None:
        def keep(product: ProductForm) -> None:
            self._keep_products([*self.form.products[:place], product, *self.form.products[place + 1 :]])

        def drop() -> None:
            self._keep_products([*self.form.products[:place], *self.form.products[place + 1 :]])
            self._fresh()

        self.lay(ProductSheet(self.form.products[place], keep, self._fresh, drop))

    def _keep_products(self, products: list[ProductForm]) -> None:
        self.keep(products=[asdict(product) for product in products])

    # ------------------------------------------------------------ what is seldom said
    def _further(self, form: JobForm) -> list[Widget]:
        if not self._more:
            words = (
                say("Stage, wind, water, target, operator …") if form.is_spray else say("Cost, note, rain …")
            )
            return [Row(words, self._show_more, sign="more", sign_after="")]
        spray = [
            self._text("bbch", say("Growth stage, BBCH, two figures")),
            self._number("wind_m_s", say("Wind, m/s")),
            self._number("temperature_c", say("Temperature, °C")),
            self._number("water_l", say("Water, litres")),
            self._number("treated_area_m2", say("Treated area, m²")),
            self._text("target", say("Against what, EPPO code")),
            self._text("operator", say("Operator")),
            self._text("certificate", say("Certificate number")),
        ]
        return [
            *(spray if form.is_spray else []),
            self._number("cost", say("What did it cost?")),
            self._text("note", say("A note")),
            OnOff(say("It rained after it"), lambda yes: self.keep(rain_after=yes), form.rain_after),
        ]

    def _show_more(self) -> None:
        self._more = True
        self._fresh()

    def _text(self, name: str, question: str) -> TextField:
        return TextField(question, getattr(self.form, name), lambda text: self.keep(**{name: text}))

    def _number(self, name: str, question: str) -> NumberField:
        return NumberField(question, getattr(self.form, name), lambda text: self.keep(**{name: text}))

    # ------------------------------------------------------------ recording
    def _record(self) -> None:
        form = self.form
        self.ask(lambda store: record_form(store, form), self._recorded)

    def _recorded(self, done: FormRecorded) -> None:
        self.recorded(done.sentence, done.take_back)
        self.back()
        if done.to_read:
            self.lay(to_read(done))


def to_read(done: FormRecorded) -> Sheet:
    """What there is to read about a job that was recorded."""
    sheet = Sheet(say("Recorded"), Words(done.sentence))
    content: list[Any] = [*(small(sentence, role="ink") for sentence in done.to_read)]
    for widget in (*content, Primary(say("Read"), sheet.close)):
        sheet.paper.column.add_widget(widget)
    return sheet

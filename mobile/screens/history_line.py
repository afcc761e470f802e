"""One line of the history: every version of it, and how it is corrected, moved, undone or put back."""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.find_tree import find_tree
from mobile.screens.history_parts import (
    Fix,
    difference_sheet,
    fields_sheet,
    one_of_sheet,
    row_sign_sheet,
    versions_read,
)
from mobile.screens.product_sheet import ProductSheet
from mobile.screens.screen import Screen
from mobile.screens.when import ask_when
from mobile.screens.which_trees import which_trees
from mobile.screens.why import why_sheet
from mobile.widgets.buttons import Action, Row
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.corrections import adjust, correct, move_to_trap, move_to_tree, redo, undo
from mobile.workflows.job_form import ProductForm
from mobile.workflows.moments import Told
from mobile.workflows.record_page import (
    RecordPage,
    correct_products,
    correct_typed,
    record_page,
    take_back_correction,
)
from mobile.workflows.spray_record import row_sign
from mobile.workflows.tree_words import TreeOffers, TreesChosen, offers_for
from shared_models.language import say, word


class HistoryLineScreen(Screen):
    """`about` names the record."""

    title = word("One record")

    def show(self) -> None:
        """As it stands."""
        rec = self.rec
        self.ask(lambda store: record_page(store, rec), self._tell)

    @property
    def rec(self) -> str:
        """The record."""
        return str(self.where.about["rec"])

    def _tell(self, page: RecordPage) -> None:
        self._page = page
        self.reading.fill(
            heading(page.line.sentence),
            small(page.about),
            *([Notice(say("This was undone; it counts no longer."))] if page.line.undone else []),
            *(Notice(sentence) for sentence in page.doubts),
            *(self._ways(page) if page.can_be_corrected else []),
            Words(say("What was said, and when"), bold=True),
            *versions_read(page),
        )
        again = Action(say("Put it back"), self._redo, sign="undo")
        self.thumb.fill(again if page.line.undone else Action(say("Undo it"), self._undo, sign="undo"))

    # ------------------------------------------------------------ ways to mend it
    def _ways(self, page: RecordPage) -> list[Widget]:
        when = Row(say("It was at another time"), self._ask_when, second=page.line.in_words, sign="clock")
        who = Row(say("Somebody else did it"), self._ask_who, second=page.line.who, sign="person")
        fields = Row(say("Correct what it says"), self._ask_fields, sign="note")
        return [
            *([fields] if page.fields else []),
            *(self._product(place, product) for place, product in enumerate(page.products)),
            *self._count(page),
            *self._elsewhere(page),
            when,
            who,
            *([Row(say("A sign for the row"), self._show_sign, sign="warning")] if page.products else []),
        ]

    def _count(self, page: RecordPage) -> list[Widget]:
        if not page.tallies:
            return []
        words = " · ".join(one.in_words for one in page.tallies)
        return [Row(say("Correct the count"), self._ask_difference, second=words, sign="fruit")]

    def _elsewhere(self, page: RecordPage) -> list[Widget]:
        if page.tree is not None:
            return [Row(say("It was another tree"), self._ask_tree, sign="tree")]
        if page.traps:
            return [Row(say("It was another trap"), self._ask_trap, sign="trap")]
        if page.line.kind == "job":
            return [Row(say("It was other trees"), self._ask_trees, sign="tree")]
        return []

    def _product(self, place: int, product: ProductForm) -> Widget:
        words = say("Correct the label of {name}", name=product.name)
        return Row(words, partial(self._ask_product, place), sign="spray")

    def _show_sign(self) -> None:
        rec = self.rec
        self.ask(lambda store: row_sign(store, rec), lambda sign: self.lay(row_sign_sheet(sign)))

    # ------------------------------------------------------------ asking
    def _ask_fields(self) -> None:
        def typed(values: dict[str, str | bool]) -> None:
            self._why(lambda store, reason: correct_typed(store, self.rec, values, reason))

        self.lay(fields_sheet(self._page.fields, typed))

    def _ask_product(self, place: int) -> None:
        held = list(self._page.products)

        def keep(product: ProductForm) -> None:
            held[place] = product

        def done() -> None:
            self._why(lambda store, reason: correct_products(store, self.rec, tuple(held), reason))

        def drop() -> None:
            del held[place]
            done()

        self.lay(ProductSheet(held[place], keep, done, drop))

    def _ask_difference(self) -> None:
        def told(fruit: Any, difference: int) -> None:
            self._why(
                lambda store, reason: adjust(store, self.rec, difference, reason, fruit=fruit), undo_made=True
            )

        self.lay(difference_sheet(self._page.tallies, told))

    def _ask_tree(self) -> None:
        def moved(tree: str) -> None:
            reason = say("It was another tree.")
            self._fix(lambda store: move_to_tree(store, self.rec, tree, reason))

        find_tree(self, moved, say("Which tree was it?"), without=self._page.tree or "")

    def _ask_trap(self) -> None:
        def moved(trap: str) -> None:
            self._fix(lambda store: move_to_trap(store, self.rec, trap, say("It was another trap.")))

        options = [(line.trap, say("Trap {trap}", trap=line.label)) for line in self._page.traps]
        here = self._page.where.get("trap")
        others = [option for option in options if option[0] != here]
        self.lay(one_of_sheet(say("Which trap was it?"), others, moved))

    def _ask_trees(self) -> None:
        def chosen(on: TreesChosen) -> None:
            fields = {"trees": list(on.trees), "garden": None if on.trees else on.garden}
            self._why(lambda store, reason: correct(store, self.rec, reason, **fields))

        def lay(offers: list[TreeOffers]) -> None:
            which_trees(self, offers, chosen)

        self.ask(lambda store: offers_for(store, ""), lay)

    def _ask_when(self) -> None:
        def told(moment: Told) -> None:
            def fix(store: Store, reason: str) -> object:
                fields = moment.fields(store, self._page.where)
                return correct(store, self.rec, reason, when=fields["when"], season=moment.season)

            self._why(fix, say("Entered later"))

        ask_when(self, told, self._page.where)

    def _ask_who(self) -> None:
        def did(person: str) -> None:
            self._why(lambda store, reason: correct(store, self.rec, reason, done_by=person))

        options = [(line.person, line.name) for line in self._page.people]
        self.lay(one_of_sheet(say("Who did it?"), options, did))

    def _why(self, fix: Fix, *usual: str, undo_made: bool = False) -> None:
        def because(reason: str) -> None:
            self._fix(lambda store: fix(store, reason), undo_made)

        self.lay(why_sheet(because, usual))

    # ------------------------------------------------------------ writing
    def _fix(self, work: Any, undo_made: bool = False) -> None:
        self.ask(work, partial(self._fixed, undo_made))

    def _fixed(self, undo_made: bool, done: Any) -> None:
        rec = self.rec

        def take_back(store: Store) -> None:
            if undo_made:
                undo(store, done.rec)
            else:
                take_back_correction(store, rec)

        self.close_sheets()
        doubts = [doubt.sentence for doubt in done.doubts]
        self.recorded(" ".join([say("Corrected; both versions stay."), *done.notes, *doubts]), take_back)
        self.again()

    def _undo(self) -> None:
        rec = self.rec
        self.ask(lambda store: undo(store, rec), lambda _: self._turned(say("Undone."), redo))

    def _redo(self) -> None:
        rec = self.rec
        self.ask(lambda store: redo(store, rec), lambda _: self._turned(say("Put back."), undo))

    def _turned(self, sentence: str, other_way: Any) -> None:
        rec = self.rec
        self.recorded(sentence, lambda store: other_way(store, rec))
        self.again()

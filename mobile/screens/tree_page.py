"""One tree as a thing: facts, cultivars, place in walking order, that two records are one, and when it is gone."""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.apart_cards import apart_cards
from mobile.screens.day_field import day_sheet
from mobile.screens.find_tree import find_tree
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.fields import TextField
from mobile.widgets.notices import Notice
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store, Work
from mobile.workflows.corrections import undo
from mobile.workflows.moments import today
from mobile.workflows.orchard import GraftLine, TreePage, tree_page
from mobile.workflows.trees import (
    add_graft,
    bring_back,
    place_after,
    rename_graft,
    retire_graft,
    retire_tree,
    say_same,
    take_back_same,
)
from shared_models.language import say, word


class TreePageScreen(Screen):
    """`about` names the tree."""

    title = word("A tree")

    def show(self) -> None:
        """As it stands."""
        tree = self.tree
        self.ask(lambda store: tree_page(store, tree), self._tell)

    @property
    def tree(self) -> str:
        """The tree."""
        return str(self.where.about["tree"])

    @property
    def one(self) -> str:
        """The record that holds where two are said to be this tree: what is changed is changed on it."""
        return self._page.line.tree

    def _tell(self, page: TreePage) -> None:
        self._page = page
        label = page.line.label
        self.reading.fill(
            heading(say("Tree {tree}", tree=label)),
            small(page.about),
            *(Notice(note) for note in page.notes),
            *apart_cards(self, page.apart),
            Row(say("History of this tree"), partial(self.go, "history", tree=page.line.tree), sign="clock"),
            Row(say("Change what is noted"), partial(self.go, "tree_edit", tree=page.line.tree), sign="note"),
            *self._cultivars(page),
            *self._order(page),
            *self._same(page),
            Row(
                say("Write a note about it"),
                partial(self.go, "note", about=page.line.tree, named=say("tree {tree}", tree=label)),
                sign="note",
            ),
            self._gone(page),
        )

    # ------------------------------------------------------------ cultivars
    def _cultivars(self, page: TreePage) -> list[Widget]:
        return [
            Words(say("Cultivars"), bold=True),
            *(
                Row(graft.cultivar, partial(self._ask_graft, graft), sign="fruit", sign_after="on")
                for graft in page.grafts
            ),
            Action(say("Add a cultivar"), self._ask_new_graft, sign="more", bold=False),
        ]

    def _ask_new_graft(self) -> None:
        def keep(cultivar: str) -> None:
            self.ask(
                lambda store: add_graft(store, self.one, cultivar),
                lambda graft: self._done(
                    say("{cultivar} is noted on this tree.", cultivar=cultivar),
                    lambda store: undo(store, graft),
                ),
            )

        self.lay(_name_sheet(say("Which cultivar?"), "", keep))

    def _ask_graft(self, graft: GraftLine) -> None:
        def rename(cultivar: str) -> None:
            self._do(
                lambda store: rename_graft(store, graft.graft, cultivar),
                say("It is called {cultivar} now.", cultivar=cultivar),
                lambda store: rename_graft(store, graft.graft, graft.cultivar),
            )

        def off() -> None:
            sheet.close()
            self._do(
                lambda store: retire_graft(store, graft.graft),
                say("{cultivar} is no longer on this tree.", cultivar=graft.cultivar),
                lambda store: retire_graft(store, graft.graft, False),
            )

        sheet = _name_sheet(say("Which cultivar is it?"), graft.cultivar, rename)
        sheet.paper.column.add_widget(Action(say("It is no longer on this tree"), off, bold=False))
        self.lay(sheet)

    # ------------------------------------------------------------ walking order
    def _order(self, page: TreePage) -> list[Widget]:
        if not page.line.standing:
            return []
        second = say("after tree {tree}", tree=page.after.label) if page.after else say("first in its garden")
        return [Row(say("Place in walking order"), self._ask_place, second=second, sign="on")]

    def _ask_place(self) -> None:
        sheet = Sheet(say("Where does one walk to it?"))

        def first() -> None:
            sheet.close()
            self._place(None)

        def behind() -> None:
            sheet.close()
            find_tree(self, self._place, say("After which tree?"), without=self.one)

        sheet.paper.column.add_widget(Action(say("First in its garden"), first, bold=False))
        sheet.paper.column.add_widget(Action(say("After another tree"), behind, bold=False))
        self.lay(sheet)

    def _place(self, after: str | None) -> None:
        before = self._page.after.tree if self._page.after else None
        self._do(
            lambda store: place_after(store, self.one, after),
            say("The walking order is changed."),
            lambda store: place_after(store, self.one, before),
        )

    # ------------------------------------------------------------ one tree, two records
    def _same(self, page: TreePage) -> list[Widget]:
        if page.line.same_as:
            return [
                Action(
                    say("They are two trees after all"), self._apart, bold=False, middle=False, sign="tree"
                )
            ]
        return [Row(say("It is the same tree as another"), self._ask_same, sign="tree")]

    def _ask_same(self) -> None:
        def same(other: str) -> None:
            self.ask(lambda store: say_same(store, self.one, other), said)

        def said(link: str) -> None:
            self._done(
                say("These two are one tree now; what was recorded of both stands together."),
                lambda store: undo(store, link),
            )

        find_tree(self, same, say("Which one is the same tree?"), without=self.one)

    def _apart(self) -> None:
        one, others = self.one, self._page.line.same_as

        def together(store: Store) -> None:
            for other in others:
                say_same(store, one, other)

        self._do(
            lambda store: take_back_same(store, self.one), say("They are separate trees again."), together
        )

    # ------------------------------------------------------------ no longer there
    def _gone(self, page: TreePage) -> Widget:
        if page.line.standing:
            return Action(say("It is no longer there"), self._ask_gone, bold=False, middle=False, sign="none")
        return Action(say("It stands there again"), self._again_there, bold=False, middle=False, sign="tree")

    def _ask_gone(self) -> None:
        self.ask(today, self._lay_gone)

    def _lay_gone(self, day: Any) -> None:
        sheet = Sheet(
            say("When was it taken out?"),
            small(say("What was recorded of it stays. A tree that is planted in its place is a new tree.")),
        )

        def ask() -> None:
            sheet.close()
            self.lay(day_sheet(say("On which day?"), day, day, self._retire))

        def on(chosen: Any) -> None:
            sheet.close()
            self._retire(chosen)

        for words, then in (
            (say("Today"), partial(on, day)),
            (say("Another day"), ask),
            (say("Don't know"), partial(on, None)),
        ):
            sheet.paper.column.add_widget(Action(words, then, bold=False))
        self.lay(sheet)

    def _retire(self, day: Any) -> None:
        self._do(
            lambda store: retire_tree(store, self.one, day),
            say("Tree {tree} is no longer offered.", tree=self._page.line.label),
            lambda store: bring_back(store, self.one),
        )

    def _again_there(self) -> None:
        self._do(
            lambda store: bring_back(store, self.one),
            say("Tree {tree} is offered again.", tree=self._page.line.label),
            lambda store: retire_tree(store, self.one),
        )

    # ------------------------------------------------------------ writing
    def _do(self, work: Work[Any], sentence: str, back: Work[Any]) -> None:
        self.ask(work, lambda _: self._done(sentence, back))

    def _done(self, sentence: str, back: Work[Any]) -> None:
        self.recorded(sentence, back)
        self.again()


def _name_sheet(title: str, now: str, then: Any) -> Sheet:
    field = TextField(say("Name"), now)

    def keep() -> None:
        if not field.text:
            field.error = say("Type a name.")
            return
        sheet.close()
        then(field.text)

    sheet = Sheet(title, field, Primary(say("Keep this name"), keep))
    return sheet

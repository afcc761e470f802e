"""Which trees, for many at once: as last time, a row, all of a garden, "1-12, 15"; or the garden as a whole."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice
from mobile.widgets.columns import Column
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.workflows.asking import Store
from mobile.workflows.tree_words import TreeOffers, TreesChosen, chosen_by_text
from shared_models.errors import BadInputError
from shared_models.language import capital, say

Take = Callable[[TreesChosen], Any]


def which_trees(screen: Screen, offers: Sequence[TreeOffers], then: Take) -> None:
    """Ask; `then` is told the trees, or a garden without any, which is the garden as a whole."""
    if offers:
        screen.lay(TreesSheet(screen, offers, then))
    else:
        screen.apologise(say("No tree stands in any garden yet; add trees first."))


class TreesSheet(Sheet):
    """One garden at a time; where there are several, they are chosen from above."""

    def __init__(self, screen: Screen, offers: Sequence[TreeOffers], then: Take) -> None:
        super().__init__(say("Which trees?"))
        self._screen, self._offers, self._then = screen, offers, then
        self._below = Column()
        if len(offers) > 1:
            gardens = [(offer.garden, offer.garden_name) for offer in offers]
            self.paper.column.add_widget(Choice(gardens, self._show, offers[0].garden))
        self.paper.column.add_widget(self._below)
        self._show(offers[0].garden)

    def _show(self, garden: str) -> None:
        offer = next(one for one in self._offers if one.garden == garden)
        self._typed = TextField(say("Trees such as 1-12, 15, in walking order"))
        self._below.fill(
            *self._by_one_touch(offer),
            self._typed,
            Primary(say("These trees"), partial(self._read, garden)),
        )

    def _by_one_touch(self, offer: TreeOffers) -> list[Widget]:
        whole = TreesChosen(offer.garden, (), "")
        last = offer.last_time
        as_last = [] if last is None else [self._offer(say("Same as last time"), last, last.in_words)]
        rows = [self._offer(capital(one.in_words), one) for one in (*offer.rows, offer.all_trees) if one]
        later = say("for trees that are added later too")
        return [*as_last, *rows, self._offer(say("The garden as a whole"), whole, later)]

    def _offer(self, words: str, trees: TreesChosen, second: str = "") -> Widget:
        return Action(words, partial(self._take, trees), second=second, bold=False, middle=False)

    def _read(self, garden: str) -> None:
        text = self._typed.text
        self._screen.ask(lambda store: _read(store, garden, text), self._answered)

    def _answered(self, found: TreesChosen | str) -> None:
        if isinstance(found, str):
            self._typed.error = found
        else:
            self._take(found)

    def _take(self, found: TreesChosen) -> None:
        self.close()
        self._then(found)


def _read(store: Store, garden: str, text: str) -> TreesChosen | str:
    """The trees, or the sentence that says why there are none; it belongs below the field."""
    try:
        return chosen_by_text(store, garden, text)
    except BadInputError as error:
        return str(error)

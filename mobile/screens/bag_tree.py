"""At one tree with a box of bags: by the box, ten at once, a number, or one touch a bag; hours by themselves."""

from dataclasses import replace
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.bag_round import RoundFacts, answer_in_words, ask_round, facts_of, which_bags
from mobile.screens.bag_tree_parts import (
    about_the_tree,
    beside_the_numbers,
    by_the_box,
    left_sheet,
    number_sheet,
    on_the_tree,
    sentences,
    so_many,
    took_sheet,
)
from mobile.screens.tree_screen import TreeScreen
from mobile.screens.untreated_card import untreated_card
from mobile.screens.when import as_about, told_of
from mobile.theme import theme
from mobile.widgets.buttons import Action, Row
from mobile.widgets.columns import Card, Even
from mobile.widgets.notices import Notice
from mobile.widgets.pad import Pad
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.bagging import BagAnswer, BaggingRound, BaggingView, BaggingVisit
from mobile.workflows.bags_at_hand import BagsAtHand
from mobile.workflows.people import PersonLine, people
from mobile.workflows.tally import number_in_words
from mobile.workflows.tree_at_hand import Shown
from shared_models.language import say, word


class BagTreeScreen(TreeScreen[BaggingVisit, BaggingView]):
    """The box and the pad at the thumb; above them how it stands with the tree."""

    title = word("Bags on a tree")
    name = "bag_tree"
    list_name = "bags"

    def open_hand(self, store: Store) -> BagsAtHand:
        """With what was said of the round before."""
        answer, paused = facts_of(self.where).answer, self.where.draft.get("paused")
        told = told_of(self.where)
        return BagsAtHand(store, self.tree, told, answer, visit=self.visit, paused_since=paused)

    def goes_along(self) -> dict[str, Any]:
        """The round, and when it is."""
        return as_about(told_of(self.where)) | facts_of(self.where).as_about()

    def number_key(self, number: int) -> None:
        """So many bags more; 0 is ten."""
        self.touch(so_many(number or 10))

    def build(self) -> None:
        """The box above the pad."""
        self._sums, self._box = Words("", bold=True), Words("")
        self._said: tuple[object, ...] = ()
        self._pad = Pad(say("+1 bag"), lambda: self.touch(BaggingVisit.bag), sign="bag")
        look = {"least": 80, "spacing": 0, "points": 16, "padding": [theme.gap(0.5)] * 2}
        self._took = Action(say("Took"), lambda: self._lay(took_sheet), **look)
        self._left_over = Action(say("Left"), lambda: self._lay(left_sheet), **look)
        ten = Action(say("+10"), lambda: self.touch(BaggingVisit.ten), **look)
        less = Action(say("−1"), self.less, **look)
        self.thumb.fill(Even(self._took, self._left_over, ten, less), self._pad)

    def tell(self, shown: Shown[BaggingView]) -> None:
        """Numbers change in place; the lines are made anew only where they say something else."""
        view = shown.view
        self._pad.number = number_in_words(view.on_visit) if view.at.visit else ""
        self._took.second = "" if view.took is None else str(view.took)
        self._left_over.second = "" if view.left is None else str(view.left)
        self._sums.text, self._box.text = on_the_tree(view), by_the_box(view)
        said = (*beside_the_numbers(shown), *self.hours.asks, *sentences(view))
        if said != self._said:
            self._said, place = said, self.reading.scroll_y
            self.reading.fill(*self._lines(shown))
            self.reading.scroll_y = place

    # ------------------------------------------------------------ lines
    def _lines(self, shown: Shown[BaggingView]) -> list[Widget]:
        for kept in (self._sums, self._box, self.hours):
            if kept.parent is not None:
                kept.parent.remove_widget(kept)
        about = about_the_tree(shown)
        return [
            heading(say("Tree {tree}", tree=shown.view.at.tree.label)),
            self._sums,
            self._box,
            *self.hours.questions(),
            *(Notice(sentence) for sentence in sentences(shown.view)),
            *self._asked(shown),
            *([small(about)] if about else []),
            self.hours,
            *self._further(shown),
        ]

    def _asked(self, shown: Shown[BaggingView]) -> list[Widget]:
        asked: list[Widget] = []
        question = shown.view.question
        if question is not None and shown.view.at.visit is not None:
            asked.append(untreated_card(question.sentence, self._leave_beside, self._not_beside))
        if shown.view.asked:
            offered = which_bags(shown.view.offered, self._answer, self._ask_round)
            asked.append(Card(Words(say("Which bags are these?")), *offered))
        return asked

    def _further(self, shown: Shown[BaggingView]) -> list[Widget]:
        view = shown.view
        this_round = Row(answer_in_words(view.answer), self._ask_round, second=shown.who, sign="bag")
        later = Row(
            say("Bags taken off, or looked at"), lambda: self.go("bags_later", tree=self.tree), sign="tree"
        )
        return [
            Row(say("Type a number"), lambda: self.lay(number_sheet(self.touch)), sign="more"),
            self.when_line(shown),
            Row(say("Lock against rain and pocket"), self.lock, sign="lock"),
            *([] if view.asked else [this_round]),
            later,
            *self.other_tree(shown),
        ]

    # ------------------------------------------------------------ answers
    def _lay(self, sheet_of: Any) -> None:
        if self.shown is not None:
            self.lay(sheet_of(self.touch, self.shown.view))

    def _leave_beside(self) -> None:
        hand = self.hand
        if isinstance(hand, BagsAtHand):
            self.ask(lambda _: hand.leave_beside_untreated(), self.declared)

    def _not_beside(self) -> None:
        self.do(lambda hand: hand.not_untreated())

    def _answer(self, answer: BagAnswer) -> None:
        self._kept_round(replace(facts_of(self.where), answer=answer))

    def _ask_round(self) -> None:
        def lay(found: tuple[BaggingRound, list[PersonLine]]) -> None:
            ask_round(self, facts_of(self.where), *found, self._kept_round)

        self.ask(lambda store: (BaggingRound(store), people(store)), lay)

    def _kept_round(self, facts: RoundFacts) -> None:
        before, answer = facts_of(self.where), facts.answer
        self.keep(**facts.as_draft())
        if facts.done_by != before.done_by:  # another person's visit to the same tree
            self.instead(self.name, tree=self.tree, **self.goes_along())
        elif answer is not None:
            self.do(lambda hand: hand.answer(answer))

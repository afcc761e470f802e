"""At one tree at picking: one touch a fruit on six keys that always stand in the same places. Never a share meanwhile."""

from functools import partial
from typing import Any

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.uix.widget import Widget

from mobile.screens.fruit_detail_sheet import can_be_told_more, detail_in_words, detail_sheet
from mobile.screens.pick_parts import (
    KEY_WORDS,
    as_draft,
    many_sheet,
    part_of,
    part_sheet,
    sentences,
    so_far,
    source_in_words,
    source_of,
    source_sheet,
    which_part,
)
from mobile.screens.tree_screen import TreeScreen
from mobile.screens.untreated_card import untreated_card
from mobile.screens.weigh_sheet import weigh_sheet, weighed_in_words
from mobile.screens.when import told_of
from mobile.theme import LEAST_KEY, LEAST_PAD
from mobile.widgets.buttons import Action, Row
from mobile.widgets.choices import OnOff
from mobile.widgets.columns import Even, window_is_low
from mobile.widgets.held_key import HeldKey
from mobile.widgets.key_field import KeyField
from mobile.widgets.notices import Notice
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.fruit_at_hand import FruitAtHand
from mobile.workflows.picking import KEYS, PickingView, PickingVisit
from mobile.workflows.tally import Part, number_in_words
from mobile.workflows.tree_at_hand import Left, Shown
from shared_models.language import say, spoken, word
from shared_models.vocabulary import Fruit, Source


class PickTreeScreen(TreeScreen[PickingVisit, PickingView]):
    """Six keys at the thumb; above them which fruit comes next."""

    title = word("Score fruit")
    name = "pick_tree"
    list_name = "picking"

    def open_hand(self, store: Store) -> FruitAtHand:
        """With the part that was chosen before."""
        part, source, paused = part_of(self.where), source_of(self.where), self.where.draft.get("paused")
        told, visit = told_of(self.where), self.visit
        return FruitAtHand(store, self.tree, told, part=part, source=source, visit=visit, paused_since=paused)

    def number_key(self, number: int) -> None:
        """1 to 6 are the keys from the upper left, 0 takes the last fruit back."""
        if number == 0:
            self.less()
        elif number <= len(KEYS):
            self._score(KEYS[number - 1])

    def build(self) -> None:
        """Six keys, larger where there is room."""
        self._so_far = Words("", bold=True)
        self._said: tuple[object, ...] = ()
        self._also = OnOff(say("And also"), lambda _: None, middle=True)
        self._part = Action("", self._ask_part, bold=False)
        self._source = Action("", self._ask_source, bold=False)
        self._detail = Row(say("More of the last fruit"), self._ask_detail, sign="find")
        self._weigh = Row(say("Weigh"), self._ask_weight, sign="weigh")
        self._whence = Even(self._part, self._source)
        self._tools = Even(Action(say("−1"), self.less), self._also, Action(say("Lock"), self.lock))
        least = LEAST_PAD if Window.height >= dp(800) else LEAST_KEY
        self._keys = {
            fruit: HeldKey(
                spoken(words),
                partial(self._score, fruit),
                partial(self._add_to_last, fruit),
                sign=sign,
                least=least,
                sign_side=22 if window_is_low() else 0,
            )
            for fruit, (words, sign) in KEY_WORDS.items()
        }
        self.thumb.fill(KeyField(list(self._keys.values())))

    def tell(self, shown: Shown[PickingView]) -> None:
        """Counts change in place; the lines are made anew only where they say something else."""
        view = shown.view
        for fruit, key in self._keys.items():
            key.count = number_in_words(view.counts[fruit]) if view.counts[fruit] else ""
        self._so_far.text = so_far(view)
        self._part.text, self._source.text = which_part(view, self._grafted), source_in_words(view.source)
        self._detail.second, self._detail.disabled = detail_in_words(view), not can_be_told_more(view)
        self._weigh.second = weighed_in_words(view)
        said = (view.at.visit is None, view.at.when, view.question, *self.hours.asks, *sentences(view))
        if said != self._said:
            self._said, place = said, self.reading.scroll_y
            self.reading.fill(*self._lines(shown))
            self.reading.scroll_y = place

    # ------------------------------------------------------------ fruit
    def _score(self, fruit: Fruit) -> None:
        if self._also.on:
            self._add_to_last(fruit)
        else:
            self.touch(lambda visit: visit.score(fruit))

    def _add_to_last(self, fruit: Fruit) -> None:
        self._also.on = False
        self.touch(lambda visit: visit.and_also(fruit))

    # ------------------------------------------------------------ lines
    def _lines(self, shown: Shown[PickingView]) -> list[Widget]:
        for kept in (self._so_far, self._whence, self._tools, self._detail, self._weigh, self.hours):
            if kept.parent is not None:
                kept.parent.remove_widget(kept)
        tree = shown.view.at.tree
        about = " · ".join(part for part in (*tree.cultivars, shown.plan) if part)
        begun = shown.view.at.visit is not None  # until then warnings come first
        notices = [Notice(sentence) for sentence in sentences(shown.view)]
        return [
            heading(say("Tree {tree}", tree=tree.label)),
            self._whence,
            *([] if begun else notices),
            self._tools,
            self._so_far,
            *self.hours.questions(),
            *(notices if begun else []),
            *self._asked(shown.view),
            *([small(about)] if about else []),
            self._detail,
            Row(say("Many alike at once"), self._ask_many, sign="more"),
            self._weigh,
            self.when_line(shown),
            self.hours,
            Row(
                say("Score twice"), partial(self._to, "score_twice"), second=say("two people"), sign="person"
            ),
            Row(say("Cut some open"), partial(self._to, "cut_open"), second=say("clean ones"), sign="deep"),
            *self.other_tree(shown),
        ]

    def _to(self, screen: str) -> None:
        self.go(screen, tree=self.tree, **self.goes_along())

    def _asked(self, view: PickingView) -> list[Widget]:
        if view.question is None:
            return []
        return [
            untreated_card(view.question, self._leave, lambda: self.do(lambda hand: hand.not_untreated()))
        ]

    def _leave(self) -> None:
        hand = self.hand
        if isinstance(hand, FruitAtHand):
            self.ask(lambda _: hand.left_untreated(), self.declared)

    def _ask_detail(self) -> None:
        if self.shown is not None:
            self.lay(detail_sheet(self.touch, self.shown.view))

    def _ask_weight(self) -> None:
        if self.shown is not None:
            self.lay(weigh_sheet(self.touch, self.shown.view, which_part(self.shown.view, self._grafted)))

    # ------------------------------------------------------------ part and source
    @property
    def _grafted(self) -> bool:
        """Whether several cultivars are grafted on the tree, so that each part is named."""
        return isinstance(self.hand, FruitAtHand) and len(self.hand.grafts) > 1

    def _ask_part(self) -> None:
        hand = self.hand
        if isinstance(hand, FruitAtHand):
            self.lay(part_sheet(part_of(self.where), hand.grafts, self._take_part))

    def _ask_source(self) -> None:
        self.lay(source_sheet(lambda source: self._come_from(part_of(self.where), source)))

    def _take_part(self, part: Part) -> None:
        self._come_from(part, source_of(self.where))

    def _come_from(self, part: Part, source: Source) -> None:
        self.keep(**as_draft(part, source))
        self.do(lambda hand: hand.from_part(part, source))

    def _ask_many(self) -> None:
        if self.shown is not None:
            view = self.shown.view
            part = f"{which_part(view, self._grafted)} · {source_in_words(view.source)}"
            self.lay(many_sheet(self.touch, part))

    # ------------------------------------------------------------ done
    def ended(self, left: Left) -> None:
        """First what was found; a tree that was only looked at is simply left."""
        if left.visit is None:
            self.go_to_next(left)
            return
        about: dict[str, Any] = {"tree": self.tree, "visit": left.visit, **self.goes_along()}
        self.say_ended(left)
        self.instead("picked", **about)

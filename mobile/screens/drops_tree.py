"""Under one tree on the drops round: one touch a drop, damaged or not; none is a count; then the next tree."""

from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.amount_sheet import amount_sheet
from mobile.screens.tree_screen import TreeScreen
from mobile.screens.when import told_of
from mobile.widgets.buttons import Action, Row
from mobile.widgets.choices import Choice
from mobile.widgets.columns import Line
from mobile.widgets.key_field import KeyField
from mobile.widgets.notices import Notice
from mobile.widgets.pad import Key
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.drops_at_hand import DropsAtHand
from mobile.workflows.drops_round import DropsView, DropsVisit
from mobile.workflows.tally import BAG_ON, BARE, WHOLE, Amount, Part, number_in_words
from mobile.workflows.tree_at_hand import Shown
from shared_models.language import capital, say, word

PARTS = {"whole": WHOLE, "bag_on": BAG_ON, "bare": BARE}


class DropsTreeScreen(TreeScreen[DropsVisit, DropsView]):
    """Two keys at the thumb; what was taken off the tree by hand is counted apart."""

    title = word("Under a tree")
    name = "drops_tree"
    list_name = "drops"

    def open_hand(self, store: Store) -> DropsAtHand:
        """With the part of the tree that was said."""
        part, paused = PARTS[self.where.draft.get("part", "whole")], self.where.draft.get("paused")
        told = told_of(self.where)
        return DropsAtHand(store, self.tree, told, part=part, visit=self.visit, paused_since=paused)

    def number_key(self, number: int) -> None:
        """1 damaged, 2 undamaged, 3 taken off the tree, 0 none."""
        touches = {0: DropsVisit.none, 1: DropsVisit.damaged, 2: DropsVisit.undamaged, 3: DropsVisit.removed}
        if number in touches:
            self.touch(touches[number])

    def build(self) -> None:
        """The keys, always in the same places."""
        self._found, self._said = Words("", bold=True), object()
        look = {"least": 126}
        self._damaged = Key(say("Damaged drop"), partial(self.touch, DropsVisit.damaged), sign="deep", **look)
        self._undamaged = Key(
            say("Undamaged drop"), partial(self.touch, DropsVisit.undamaged), sign="drop", **look
        )
        less = Action(say("−1"), self.less, least=80, size_hint_x=0.7)
        look = {"least": 80, "upright": True, "spacing": 0}
        none = Action(say("None"), partial(self.touch, DropsVisit.none), sign="none", **look)
        number = Action(say("Number"), self._ask_number, points=16, size_hint_x=1.25, **look)
        self.thumb.fill(KeyField([self._damaged, self._undamaged], across=2), Line(less, none, number))

    def tell(self, shown: Shown[DropsView]) -> None:
        """Numbers change in place; the lines are made anew only where they say something else."""
        view = shown.view
        self._damaged.count, self._undamaged.count = _count(view.damaged), _count(view.undamaged)
        self._found.text = capital(view.in_words)
        said = (view.at.visit, view.at.when, view.at.note, view.removed, view.warnings, view.part)
        if (*said, *self.hours.asks) != self._said:
            self._said, place = (*said, *self.hours.asks), self.reading.scroll_y
            self.reading.fill(*self._lines(shown))
            self.reading.scroll_y = place

    # ------------------------------------------------------------ lines
    def _lines(self, shown: Shown[DropsView]) -> list[Widget]:
        for kept in (self._found, self.hours):
            if kept.parent is not None:
                kept.parent.remove_widget(kept)
        view = shown.view
        about = " · ".join([*view.at.tree.cultivars, *([shown.plan] if shown.plan else [])])
        said = [*([view.at.note] if view.at.note else []), *view.warnings]
        return [
            heading(say("Tree {tree}", tree=view.at.tree.label)),
            *([small(about)] if about else []),
            *self.hours.questions(),
            *(Notice(sentence) for sentence in said),
            self._found,
            *(self._which_part(view.part) if view.has_bags else []),
            self._taken_off(view),
            self.when_line(shown),
            Row(say("Lock against rain and pocket"), self.lock, sign="lock"),
            self.hours,
            *self.other_tree(shown),
        ]

    def _which_part(self, part: Part) -> list[Widget]:
        parts = [
            ("bag_on", say("From bags that are still on")),
            ("bare", say("Bare")),
            ("whole", say("Not looked at")),
        ]
        now = next((name for name, one in PARTS.items() if one == part), "whole")
        return [Words(say("These drops were")), Choice(parts, self._from, now)]

    def _from(self, name: str) -> None:
        self.keep(part=name)
        self.do(lambda hand: hand.from_part(PARTS[name]))

    def _taken_off(self, view: DropsView) -> Widget:
        words = say("+1 damaged fruit taken off the tree")
        second = say("{number} so far", number=number_in_words(view.removed)) if view.removed else ""
        return Action(
            words,
            partial(self.touch, DropsVisit.removed),
            second=second,
            bold=False,
            middle=False,
            sign="tree",
        )

    # ------------------------------------------------------------ many at once
    def _ask_number(self) -> None:
        kinds = [
            (DropsVisit.damaged, say("Damaged drops")),
            (DropsVisit.undamaged, say("Undamaged drops")),
            (DropsVisit.removed, say("Damaged fruit taken off the tree")),
        ]

        def keep(kind: object, amount: Amount) -> None:
            touch = next(one for one, _ in kinds if one == kind)
            self.touch(lambda visit: touch(visit, amount))

        self.lay(amount_sheet(say("A number at once"), kinds, keep))


def _count(n: float) -> str:
    return number_in_words(n) if n else ""

"""After scoring a tree: what was found, with its range; how many were picked in all; what would tell more."""

from dataclasses import dataclass
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.picked_fields import PickedFields
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary, Row
from mobile.widgets.columns import Card
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.picked_in_all import say_of_picks
from mobile.workflows.picking import PickingVisit
from mobile.workflows.picking_result import PickingResult
from mobile.workflows.tree_at_hand import TakeBack
from mobile.workflows.tree_list import TreeLine
from mobile.workflows.tree_rounds import tree_after
from mobile.workflows.visit_hours import open_again
from shared_models.language import say, word


@dataclass(frozen=True, slots=True)
class Found:
    """The result of a visit, and the tree that comes next."""

    result: PickingResult
    next_tree: TreeLine | None


class PickedScreen(Screen):
    """Sentences, a few fields, and on to the next tree."""

    title = word("What was found")

    def show(self) -> None:
        """The result of the visit."""
        self._fields: list[PickedFields] = []
        self._next: TreeLine | None = None
        tree, visit = str(self.where.about["tree"]), str(self.where.about["visit"])
        self.ask(lambda store: _found(store, tree, visit), self._tell)

    def beside_back(self) -> list[Touchable]:
        """Keep what was typed and go on."""
        return [Primary(say("Next tree"), self._on, sign_after="on")]

    def _tell(self, found: Found) -> None:
        self._next, result = found.next_tree, found.result
        parts = {(part.place, part.cover): part for part in result.parts if part.source == "picked"}
        self._fields = [PickedFields(part, self.where, self.keep) for part in parts.values()]
        self.reading.fill(
            heading(say("Tree {tree}", tree=result.at.tree.label)),
            *(Card(Words(part.sentence)) for part in result.parts),
            *([Words(result.noted)] if result.noted else []),
            Words(result.tell_more),
            *self._asked(),
            Row(say("Score more of this tree"), self._more, sign="fruit"),
            Row(say("Cut some open"), self._cut, second=say("clean ones"), sign="deep"),
        )

    def _asked(self) -> list[Widget]:
        several = len(self._fields) > 1
        return [widget for fields in self._fields for widget in fields.widgets(several)]

    def _more(self) -> None:
        about = dict(self.where.about)
        visit = str(about["visit"])
        self.ask(lambda store: open_again(store, visit), lambda _: self.instead("pick_tree", **about))

    def _cut(self) -> None:
        along = {name: value for name, value in self.where.about.items() if name != "visit"}
        self.go("cut_open", **along)

    # ------------------------------------------------------------ on
    def _on(self) -> None:
        said = [fields.said() for fields in self._fields]
        if any(one is None for one in said):
            return  # a field says why
        typed = [one for one in said if one is not None and one.anything]
        tree, visit = str(self.where.about["tree"]), str(self.where.about["visit"])
        if not typed:
            self._go_on()
            return
        self.ask(lambda store: say_of_picks(store, tree, visit, [one.said for one in typed]), self._kept)

    def _kept(self, take_back: TakeBack) -> None:
        about = dict(self.where.about)
        self.recorded(
            say("What was picked in all is kept."), take_back, lambda: self.frame.go("picked", **about)
        )
        self._go_on()

    def _go_on(self) -> None:
        along: dict[str, Any] = {
            name: value for name, value in self.where.about.items() if name not in ("tree", "visit")
        }
        if self._next is None:
            self.go("picking")
        else:
            self.instead("pick_tree", tree=self._next.tree, **along)


def _found(store: Store, tree: str, visit: str) -> Found:
    return Found(PickingVisit(store, tree, visit=visit).result, tree_after(store, tree))

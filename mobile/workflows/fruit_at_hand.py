"""One tree at picking: fruit by fruit, how each touch is taken back, and what was found when it is done.

Offers `FruitAtHand`. No share is told while scoring. Knows no screen.
"""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import NOW, Told
from mobile.workflows.picking import PickingView, PickingVisit
from mobile.workflows.tally import WHOLE, Part, number_in_words
from mobile.workflows.tree_at_hand import Shown, TreeAtHand, standing
from mobile.workflows.tree_list import TreeList
from mobile.workflows.tree_plans import Declared
from shared_models.language import say_many
from shared_models.records.gardens import Graft
from shared_models.vocabulary import Source


class FruitAtHand(TreeAtHand[PickingVisit, PickingView]):
    """`part` and `source` are where the next fruit come from; `visit` an unfinished visit that is gone on with."""

    def __init__(
        self,
        store: PhoneStore,
        tree: str,
        told: Told = NOW,
        *,
        part: Part = WHOLE,
        source: Source = Source.PICKED,
        visit: str | None = None,
        paused_since: str | None = None,
    ) -> None:
        at_tree = PickingVisit(store, tree, told, visit=standing(store, visit))
        at_tree.from_part(part, source)
        super().__init__(store, at_tree, told, paused_since)
        self.grafts = _grafts(store, at_tree.tree.tree)

    def view(self) -> PickingView:
        """The tree as it is now."""
        return self.visit.view

    def in_words(self, view: PickingView) -> str:
        """How many fruit were scored; never which share."""
        scored = view.scored + view.not_sure
        return say_many(
            "Tree {tree}: {number} fruit.",
            "Tree {tree}: {number} fruit.",
            round(scored),
            tree=view.at.tree.label,
            number=number_in_words(scored),
        )

    def from_part(self, part: Part, source: Source) -> Shown[PickingView]:
        """Where the next fruit come from."""
        self.visit.from_part(part, source)
        return self.shown

    def less(self) -> Shown[PickingView]:
        """−1: take back the newest fruit that was scored by itself."""
        self.visit.take_back()
        return self.shown

    def left_untreated(self) -> Declared:
        """This tree is left untreated on purpose."""
        return self.visit.left_untreated()

    def not_untreated(self) -> Shown[PickingView]:
        """Leave the question; nothing is recorded."""
        self.visit.not_untreated()
        return self.shown

    def _as_before(self, before: PickingView) -> None:
        self.visit.as_before(before)


def _grafts(store: PhoneStore, tree: str) -> tuple[tuple[str, str], ...]:
    """The cultivars on a tree, each with the id that stands for its part of it."""
    trees = TreeList(store)
    found = store.few.naming(Graft, trees.records_of(tree))
    return tuple((graft.rec, graft.cultivar) for graft in found if not graft.retired)

"""One tree with a box of bags in hand: what a screen shows, touch by touch, and how each touch is taken back.

Offers `BagsAtHand`. Knows no screen.
"""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BagAnswer, BaggingRound, BaggingView, BaggingVisit
from mobile.workflows.moments import NOW, Told, today
from mobile.workflows.tally import number_in_words
from mobile.workflows.tree_at_hand import Shown, TreeAtHand, standing
from mobile.workflows.tree_plans import Declared
from shared_models.language import say_many
from shared_models.records.tallies import Visit
from shared_models.vocabulary import Round


class BagsAtHand(TreeAtHand[BaggingVisit, BaggingView]):
    """`answer` is what was said of the round's bags; `visit` an unfinished visit that is gone on with."""

    def __init__(
        self,
        store: PhoneStore,
        tree: str,
        told: Told = NOW,
        answer: BagAnswer | None = None,
        *,
        visit: str | None = None,
        paused_since: str | None = None,
    ) -> None:
        walk = BaggingRound(store, told)
        if answer is not None:
            walk.set_answer(answer.material, answer.fruit_size_mm)
        known = standing(store, visit) or _unfinished_of_helper(store, tree, told)
        at_tree = BaggingVisit(store, tree, told, walk, visit=known)
        super().__init__(store, at_tree, told, paused_since)

    def view(self) -> BaggingView:
        """The tree as it is now."""
        return self.visit.view

    def in_words(self, view: BaggingView) -> str:
        """How many bags this visit put on."""
        return say_many(
            "Tree {tree}: {number} bag on.",
            "Tree {tree}: {number} bags on.",
            round(view.on_visit),
            tree=view.at.tree.label,
            number=number_in_words(view.on_visit),
        )

    def less(self) -> Shown[BaggingView]:
        """−1: take back the newest bag that was counted by itself."""
        self.visit.take_back()
        return self.shown

    def answer(self, answer: BagAnswer) -> Shown[BaggingView]:
        """Say which bags these are, for the round and for this visit."""
        self.visit.answer(answer.material, answer.fruit_size_mm)
        return self.shown

    def leave_beside_untreated(self) -> Declared:
        """The trees beside are left untreated on purpose."""
        return self.visit.leave_beside_untreated()

    def not_untreated(self) -> Shown[BaggingView]:
        """Leave the question; nothing is recorded."""
        self.visit.not_untreated()
        return self.shown

    def _as_before(self, before: BaggingView) -> None:
        self.visit.by_the_box_as(before)


def _unfinished_of_helper(store: PhoneStore, tree: str, told: Told) -> str | None:
    """The visit of today that a helper without a phone has begun at this tree."""
    if told.done_by is None or told.when is not None or store.identity is None:
        return None
    mine = [
        visit.rec
        for visit in store.few.unended(Visit, store.identity.device)
        if visit.round is Round.BAGGING
        and (visit.tree, visit.done_by, visit.moment.day) == (tree, told.done_by, today(store))
    ]
    return max(mine, default=None)

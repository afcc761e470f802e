"""One tree on a drops round at hand: what was found so far, and how each touch is taken back.

Offers `DropsAtHand` and `amount_typed`. Knows no screen.
"""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drops_round import DropsView, DropsVisit
from mobile.workflows.moments import NOW, Told
from mobile.workflows.tally import WHOLE, Amount, Part
from mobile.workflows.tree_at_hand import Shown, TreeAtHand
from shared_models.language import say


class DropsAtHand(TreeAtHand[DropsVisit, DropsView]):
    """`part` is where on the tree the next fruit come from; `visit` an unfinished visit that is gone on with."""

    def __init__(
        self,
        store: PhoneStore,
        tree: str,
        told: Told = NOW,
        *,
        part: Part = WHOLE,
        visit: str | None = None,
        paused_since: str | None = None,
    ) -> None:
        at_tree = DropsVisit(store, tree, told, visit=visit)
        at_tree.from_part(part)
        super().__init__(store, at_tree, told, paused_since)

    def view(self) -> DropsView:
        """The tree as it is now."""
        return self.visit.view

    def in_words(self, view: DropsView) -> str:
        """What was found."""
        return say("Tree {tree}: {found}.", tree=view.at.tree.label, found=view.in_words)

    def from_part(self, part: Part) -> Shown[DropsView]:
        """Where the next fruit come from."""
        self.visit.from_part(part)
        return self.shown

    def less(self) -> Shown[DropsView]:
        """−1: take back the newest drop that was counted by itself."""
        self.visit.take_back()
        return self.shown

    def _as_before(self, before: DropsView) -> None:
        if not before.nothing_found:
            self.visit.not_none()


def amount_typed(number: float | None, up_to: float | None, roughly: bool) -> Amount | None:
    """A number, a number roughly, or from one number to another; None where nothing was typed."""
    if number is None:
        return None
    if up_to is not None:
        return Amount.from_to(number, up_to)
    return Amount.about(number) if roughly else Amount.exactly(number)

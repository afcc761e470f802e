"""How far two people agreed on the same fruit, and on which fruit they did not. Writes nothing."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.columns import Card
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.two_scorers import Compared, compared
from shared_models.language import say, word


class ScoredTwiceScreen(Screen):
    """A sentence with its range, and the fruit to look at together."""

    title = word("Scored by two")

    def show(self) -> None:
        """As it was recorded."""
        rec = str(self.where.about["rec"])
        self.ask(lambda store: compared(store, rec), self._tell)

    def beside_back(self) -> list[Touchable]:
        """Back to the tree."""
        return [Primary(say("On with this tree"), self.back, sign_after="on")]

    def _tell(self, shown: Compared) -> None:
        tree = [heading(say("Tree {tree}", tree=shown.tree.label))] if shown.tree else []
        differing = [Card(*(Words(line) for line in shown.differing))] if shown.differing else []
        look = (
            say("Look at these together, while they still lie there:")
            if shown.differing
            else say("They agree on every fruit.")
        )
        self.reading.fill(
            *tree,
            Card(Words(shown.sentence)),
            Words(look, bold=True),
            *differing,
            small(say("It stands beside the season’s comparison and changes no share in it.")),
        )

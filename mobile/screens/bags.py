"""Trees in walking order with the bags on them, and what is said once a round: which bags, who puts them on."""

from mobile.screens.bag_round import RoundFacts, ask_round, facts_in_words, facts_of
from mobile.screens.find_tree import find_tree
from mobile.screens.screen import Screen
from mobile.screens.trees_missing import trees_missing
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Even
from mobile.widgets.long_list import Listed, LongList
from mobile.workflows.asking import Store
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.people import PersonLine, people
from mobile.workflows.tree_rounds import BagRow, bag_rows
from shared_models.language import say, word


class BagsScreen(Screen):
    """A long list; below it the round and a way to any tree."""

    title = word("Bags")
    tab = "bags"

    def show(self) -> None:
        """As the trees stand now."""
        self.ask(_rows_and_round, self._tell)

    def _tell(self, found: tuple[list[BagRow], BaggingRound, list[PersonLine]]) -> None:
        rows, walk, known = found
        if not rows:
            trees_missing(self, say("Bags are put on trees; add the trees first."))
            return
        self._of_round, self._known = walk, known
        listed = LongList(self._open, [_listed(row) for row in rows])
        self.long_list(listed)
        facts = facts_of(self.where)
        self._round = Action(facts_in_words(facts, walk, known), self._ask_round, bold=False, sign="bag")
        self.thumb.fill(
            Even(
                self._round,
                Action(say("Find a tree"), lambda: find_tree(self, self._open), size_hint_x=0.5),
            )
        )

    def _open(self, tree: str) -> None:
        self.go("bag_tree", tree=tree, **facts_of(self.where).as_about())

    def _ask_round(self) -> None:
        ask_round(self, facts_of(self.where), self._of_round, self._known, self._keep)

    def _keep(self, facts: RoundFacts) -> None:
        self.keep(**facts.as_draft())
        self._round.text = facts_in_words(facts, self._of_round, self._known)


def _rows_and_round(store: Store) -> tuple[list[BagRow], BaggingRound, list[PersonLine]]:
    return bag_rows(store), BaggingRound(store), people(store)


def _listed(row: BagRow) -> Listed:
    name = say("Tree {tree}", tree=row.tree.label)
    return Listed(row.tree.tree, name, row.in_words, "bag" if row.on_tree else "tree")

"""Trees in walking order for picking: when each was scored last, and what is planned for it. Never a share."""

from mobile.screens.find_tree import find_tree
from mobile.screens.screen import Screen
from mobile.screens.trees_missing import trees_missing
from mobile.widgets.buttons import Action
from mobile.widgets.long_list import Listed, LongList
from mobile.workflows.tree_rounds import PickRow, pick_rows
from shared_models.language import say, word


class PickingScreen(Screen):
    """A long list, and a way to any tree."""

    title = word("Picking")
    tab = "picking"

    def show(self) -> None:
        """As the trees stand now."""
        self.ask(pick_rows, self._tell)

    def _tell(self, rows: list[PickRow]) -> None:
        if not rows:
            trees_missing(self, say("Fruit is scored tree by tree; add the trees first."))
            return
        self.long_list(LongList(self._open, [_listed(row) for row in rows]))
        self.thumb.fill(Action(say("Find a tree"), lambda: find_tree(self, self._open), sign="tree"))

    def _open(self, tree: str) -> None:
        self.go("pick_tree", tree=tree)


def _listed(row: PickRow) -> Listed:
    name = say("Tree {tree}", tree=row.tree.label)
    return Listed(row.tree.tree, name, row.in_words, "fruit" if row.scored else "tree")

"""Finding one tree by its label, an earlier label or its cultivar: a sheet that any screen lays over itself."""

from collections.abc import Callable
from functools import partial
from typing import Any

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Row
from mobile.widgets.columns import Column
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import small
from mobile.workflows.asking import Store
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.language import say, say_many

MOST_SHOWN = 6  # more would not be read standing; another letter finds it sooner


def find_tree(screen: Screen, then: Callable[[str], Any], title: str = "", without: str = "") -> None:
    """Ask which tree; `then` is told its id. `without` is a tree that is not offered."""
    found = Column()
    sheet = Sheet(title or say("Which tree?"))

    def take(tree: str) -> None:
        sheet.close()
        then(tree)

    def tell(lines: list[TreeLine]) -> None:
        found.fill(*_rows([line for line in lines if line.tree != without], take))

    def look(text: str) -> None:
        screen.ask(lambda store: _matching(store, text), tell)

    question = TextField(say("Label or cultivar"), then=look)
    sheet.paper.column.add_widget(question)
    sheet.paper.column.add_widget(found)
    sheet.paper.column.add_widget(
        Row(say("Add or change trees"), lambda: screen.go("orchard"), sign="garden")
    )
    screen.lay(sheet)
    look("")


def _matching(store: Store, text: str) -> list[TreeLine]:
    return [line for line in TreeList(store).search(text) if line.standing]


def _rows(lines: list[TreeLine], take: Callable[[str], Any]) -> list[Any]:
    rows: list[Any] = [
        Row(
            say("Tree {tree}", tree=line.label),
            partial(take, line.tree),
            second=" · ".join([line.garden_name, *line.cultivars]),
            sign="tree",
        )
        for line in lines[:MOST_SHOWN]
    ]
    if not lines:
        return [small(say("No standing tree is called so."))]
    more = len(lines) - MOST_SHOWN
    if more > 0:
        rows.append(
            small(say_many("{count} more: type another letter.", "{count} more: type another letter.", more))
        )
    return rows

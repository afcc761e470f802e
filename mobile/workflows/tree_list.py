"""The list of trees: walking order, search by label (old ones too) and cultivar, double labels. Writes nothing.

Offers `TreeList`, read once from the phone and asked many times.
"""

from dataclasses import dataclass
from functools import cached_property

from mobile.storage.phone_store import PhoneStore
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.gardens import Garden, Graft, SameTree, Tree
from shared_models.season.orchard import smallest_of_connected


@dataclass(frozen=True, slots=True)
class TreeLine:
    """One tree of the list. `same_as` are other records that are said to be this tree; `double` labels are shown."""

    tree: str
    label: str
    garden: str
    garden_name: str
    cultivars: tuple[str, ...]
    order: float | None
    standing: bool
    double: bool
    same_as: tuple[str, ...]


class TreeList:
    """All trees of this phone as they are now; trees said to be one stand as one line."""

    def __init__(self, store: PhoneStore) -> None:
        self._store = store
        self._trees = {tree.rec: tree for tree in store.few.standing(Tree)}
        self._gardens = {garden.rec: garden.name for garden in store.few.standing(Garden)}
        self._smallest = smallest_of_connected((link.a, link.b) for link in store.few.standing(SameTree))

    def one(self, tree: str) -> str:
        """The id that stands for this tree."""
        return self._smallest.get(tree, tree)

    def records_of(self, tree: str) -> frozenset[str]:
        """The ids of all records that are this tree."""
        one = self.one(tree)
        return frozenset({tree, one} | {rec for rec, stands in self._smallest.items() if stands == one})

    def line(self, tree: str) -> TreeLine:
        """The line of one tree; BadInputError where this phone has none of that id."""
        found = self._lines.get(self.one(tree)) or self._lines.get(tree)
        if found is None:
            raise BadInputError(say("This tree is not on this phone."), "tree")
        return found

    def label(self, tree: str) -> str | None:
        """The label of a tree; None where this phone has none of that id."""
        found = self._lines.get(self.one(tree)) or self._lines.get(tree)
        return found.label if found else None

    def garden_name(self, garden: str) -> str:
        """The name of a garden; empty where this phone has none of that id."""
        return self._gardens.get(garden, "")

    def standing(self, garden: str | None = None) -> list[TreeLine]:
        """Trees that stand, in walking order, of one garden or of all."""
        return [line for line in self.all() if line.standing and garden in (None, line.garden)]

    def all(self) -> list[TreeLine]:
        """All trees, those that are gone too, in walking order."""
        return sorted(self._lines.values(), key=_walking_order)

    def search(self, text: str) -> list[TreeLine]:
        """Trees whose label, earlier label or cultivar holds the text; the label itself first."""
        wanted = text.strip().casefold()
        found = [(self._match(line, wanted), line) for line in self.all()]
        return [line for rank, line in sorted(found, key=lambda item: item[0]) if rank < _NO_MATCH]

    def earlier_labels(self, tree: str) -> tuple[str, ...]:
        """The labels that this tree had before, oldest first."""
        labels = [
            str(entry.f["label"])
            for rec in sorted(self.records_of(tree))
            for entry in self._store.entries_of(rec)
            if "label" in entry.f
        ]
        now = self.line(tree).label
        return tuple(dict.fromkeys(label for label in labels if label != now))

    def beside(self, tree: str) -> list[TreeLine]:
        """The trees before and after this one in walking order."""
        here = self.line(tree)
        row = self.standing(here.garden)
        places = [place for place, line in enumerate(row) if line.tree == here.tree]
        if not places:
            return []
        return [row[place] for place in (places[0] - 1, places[0] + 1) if 0 <= place < len(row)]

    def _match(self, line: TreeLine, wanted: str) -> int:
        if not wanted or line.label.casefold() == wanted:
            return 0
        if wanted in line.label.casefold():
            return 1
        if any(wanted in cultivar.casefold() for cultivar in line.cultivars):
            return 2
        earlier = self.earlier_labels(line.tree)
        return 3 if any(wanted in label.casefold() for label in earlier) else _NO_MATCH

    @cached_property
    def _lines(self) -> dict[str, TreeLine]:
        chosen: dict[str, Tree] = {}
        for rec in sorted(self._trees):
            chosen.setdefault(self.one(rec), self._trees[rec])
        labels: dict[tuple[str, str], int] = {}
        for tree in chosen.values():
            if _stands(tree):
                labels[tree.garden, tree.label] = labels.get((tree.garden, tree.label), 0) + 1
        return {
            one: self._line_of(one, tree, labels.get((tree.garden, tree.label), 0) > 1)
            for one, tree in chosen.items()
        }

    def _line_of(self, one: str, tree: Tree, double: bool) -> TreeLine:
        return TreeLine(
            one,
            tree.label,
            tree.garden,
            self._gardens.get(tree.garden, ""),
            self._cultivars.get(one, ()),
            tree.order,
            _stands(tree),
            double and _stands(tree),
            tuple(sorted(self.records_of(one) - {one})),
        )

    @cached_property
    def _cultivars(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, set[str]] = {}
        for graft in self._store.few.standing(Graft):
            if not graft.retired:
                found.setdefault(self.one(graft.tree), set()).add(graft.cultivar)
        return {tree: tuple(sorted(names)) for tree, names in found.items()}


_NO_MATCH = 9


def _stands(tree: Tree) -> bool:
    return not tree.retired and tree.removed_on is None


def _walking_order(line: TreeLine) -> tuple[str, str, float, int, str, str]:
    digits = "".join(letter for letter in line.label if letter in "0123456789")
    order = line.order if line.order is not None else 1e9
    return (line.garden_name, line.garden, order, int(digits[:9] or 0), line.label, line.tree)

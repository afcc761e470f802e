"""Invented entries as phones write them in a season: mostly tally marks, with their visits and picks. Stores nothing."""

from collections.abc import Iterator
from itertools import islice

from shared_models.entries import Entry, SealedEntry, seal
from tests.builders import FieldPhone

SEASON = "2026"
MARKS_A_VISIT = 40
TREES_A_GARDEN = 40
FRUIT = ("clean", "clean", "clean", "clean", "sting", "deep_entry", "other_insect", "clean", "not_sure")


def entries(count: int) -> list[Entry]:
    """The first so many entries of a season without end."""
    return list(islice(_season(FieldPhone()), count))


def sealed_entries(count: int) -> list[SealedEntry]:
    """The same with their bytes."""
    return [seal(entry) for entry in entries(count)]


def _season(phone: FieldPhone) -> Iterator[Entry]:
    while True:
        garden = phone.garden()
        trees = [phone.tree(garden, str(number)) for number in range(1, TREES_A_GARDEN + 1)]
        yield from (garden, *trees)
        for tree in trees:
            yield from _picking(phone, tree)


def _picking(phone: FieldPhone, tree: Entry) -> Iterator[Entry]:
    pick = phone.pick(tree, total=2 * MARKS_A_VISIT, all_scored="no")
    visit = phone.visit(tree, pick=pick.rec)
    yield from (pick, visit)
    for number in range(MARKS_A_VISIT):
        yield phone.mark(visit, FRUIT[number % len(FRUIT)])
    yield phone.number(visit, 3, "clean")

"""Random histories of three phones that record, edit, undo and see each other's entries now and then."""

import random

from shared_models.entries import Entry
from shared_models.fold import fold
from tests.builders import FieldPhone

SCORES = ("clean", "sting", "deep_entry", "other", "not_sure")


def history(chance: random.Random, steps: int = 120) -> list[Entry]:
    """The entries of three phones on one garden of three trees, in no order that matters."""
    phones = [FieldPhone() for _ in range(3)]
    garden = phones[0].garden()
    trees = [phones[0].tree(garden, str(number)) for number in (1, 2, 3)]
    visits = [phone.visit(tree) for phone in phones for tree in trees]
    entries = [garden, *trees, *visits]
    for _ in range(steps):
        entries.append(_step(chance, chance.choice(phones), trees, visits, entries))
        if chance.random() < 0.1:
            chance.choice(phones).receives(*entries)
    return entries


def _step(
    chance: random.Random,
    phone: FieldPhone,
    trees: list[Entry],
    visits: list[Entry],
    entries: list[Entry],
) -> Entry:
    what = chance.random()
    if what < 0.5:
        return phone.mark(chance.choice(visits), chance.choice(SCORES))
    if what < 0.6:
        return phone.number(chance.choice(visits), chance.randrange(1, 40), "clean")
    if what < 0.7:
        return phone.adjustment(chance.choice(visits), chance.randrange(-3, 4), "clean")
    made = [entry for entry in entries if entry.creates]
    if what < 0.85:
        return phone.undoes(chance.choice([entry for entry in made if entry.kind != "garden"]))
    if what < 0.9:
        return phone.redoes(chance.choice([entry for entry in made if entry.kind != "garden"]))
    if what < 0.95:  # a visit that was at another tree
        visit = chance.choice(visits)
        seen = fold([entry for entry in entries if entry.rec == visit.rec])
        return phone.edits(visit, seen, tree=chance.choice(trees).rec)
    return phone.edits(chance.choice(trees), label=str(chance.randrange(100)))


def grouped(chance: random.Random, entries: list[Entry]) -> list[list[Entry]]:
    """The same entries in another order, some of them repeated, in batches of any size."""
    mixed = [*entries, *chance.choices(entries, k=len(entries) // 3)]
    chance.shuffle(mixed)
    batches = []
    while mixed:
        size = chance.choice((1, 2, 7, 40, 200))
        batches.append(mixed[:size])
        mixed = mixed[size:]
    return batches

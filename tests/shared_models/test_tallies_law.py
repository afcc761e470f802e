"""The law of tallies: marks, undos, double undos, redos and re-sends of many phones count what an own count says."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field

from hypothesis import given
from hypothesis import strategies as st

from shared_models.entries import Entry
from shared_models.fold import fold_all
from shared_models.season_records import TallyCount, count_marks, from_entries
from tests.builders import FieldPhone
from tests.strategies import law

CATEGORIES = ("clean", "sting", "deep_entry")


@dataclass
class Walk:
    """What several phones do on one visit, beside a plain model: which marks are there."""

    phones: list[FieldPhone] = field(default_factory=lambda: [FieldPhone() for _ in range(3)])
    entries: list[Entry] = field(default_factory=list)
    marks: list[Entry] = field(default_factory=list)
    there: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.garden = self.phones[0].garden()
        self.tree = self.phones[0].tree(self.garden)
        self.visit = self.phones[0].visit(self.tree)
        self.entries += [self.garden, self.tree, self.visit]

    def mark(self, phone: FieldPhone, category: str) -> None:
        """One fruit more."""
        made = phone.mark(self.visit, category)
        self.entries.append(made)
        self.marks.append(made)
        self.there[made.rec] = category

    def undo(self, phone: FieldPhone, which: int) -> None:
        """Undo a mark, perhaps for the second time, after having seen what the others did to it."""
        if self.marks:
            made = self.marks[which % len(self.marks)]
            phone.receives(*self.entries)
            self.entries.append(phone.undoes(made))
            self.there.pop(made.rec, None)

    def redo(self, phone: FieldPhone, which: int) -> None:
        """Take the undo back."""
        if self.marks:
            made = self.marks[which % len(self.marks)]
            phone.receives(*self.entries)
            self.entries.append(phone.redoes(made))
            self.there[made.rec] = made.f["marks"][0]


steps = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "mark", "undo", "redo"]), st.integers(0, 2), st.integers(0, 9)
    ),
    max_size=25,
)


def walked(steps_taken: list[tuple[str, int, int]]) -> Walk:
    """A walk after these steps."""
    walk = Walk()
    for what, phone, which in steps_taken:
        if what == "mark":
            walk.mark(walk.phones[phone], CATEGORIES[which % 3])
        else:
            getattr(walk, what)(walk.phones[phone], which)
    return walk


def by_category(tallies: list[TallyCount]) -> Counter[str]:
    """Counts by what was scored."""
    return Counter({tally.marks: int(tally.n) for tally in tallies})


@law
@given(steps, st.randoms(use_true_random=False))
def test_tallies_equal_an_independent_count(steps_taken, chance: random.Random):
    walk = walked(steps_taken)
    arrived = walk.entries + [chance.choice(walk.entries) for _ in range(10)]  # sent again, and out of order
    chance.shuffle(arrived)
    live = [one for one in fold_all(arrived).values() if one.kind == "mark" and not one.deleted]
    assert by_category(count_marks(live)) == Counter(walk.there.values())
    assert by_category(from_entries(arrived, "2026").tallies) == Counter(walk.there.values())


@law
@given(st.lists(st.sampled_from(CATEGORIES), max_size=20))
def test_fruit_tallied_one_by_one_equal_as_many_at_once(categories):
    phone = FieldPhone()
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    one_by_one = [phone.mark(visit, category) for category in categories]
    at_once = [phone.number(visit, n, category) for category, n in Counter(categories).items()]
    stands = [garden, tree, visit]
    assert from_entries(stands + one_by_one, "2026").tallies == from_entries(stands + at_once, "2026").tallies


def test_an_undo_sent_twice_takes_one_mark_away():
    walk = walked([("mark", 0, 0), ("mark", 0, 0), ("undo", 1, 0), ("undo", 2, 0)])
    assert by_category(from_entries(walk.entries * 2, "2026").tallies) == Counter(clean=1)


def test_two_marks_on_one_fruit_are_one_fruit_whatever_their_order():
    phone = FieldPhone()
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    marks = [phone.mark(visit, "sting", "other"), phone.mark(visit, "other", "sting", "other")]
    [tally] = from_entries([garden, tree, visit, *marks], "2026").tallies
    assert (tally.marks, tally.n) == ("other+sting", 2)

"""Whatever is touched, in whatever order: a tally equals an independent count."""

from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.corrections import adjust, redo, undo
from mobile.workflows.first_start import begin, name_garden
from mobile.workflows.picking import KEYS, PickingVisit
from mobile.workflows.season import report_of
from mobile.workflows.tally import BARE, WHOLE, Amount, Part
from mobile.workflows.trees import add_tree
from shared_models.errors import BadInputError
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit, Source
from tests.mobile.phones import SetClock

WORST_FIRST = ("deep_entry", "sting", "other_insect", "other", "not_sure", "clean")
FRUIT = st.sampled_from(KEYS)
TOUCH = st.one_of(
    st.tuples(st.just("score"), FRUIT),
    st.tuples(st.just("score"), FRUIT),
    st.tuples(st.just("also"), FRUIT),
    st.tuples(st.just("back"), st.none()),
    st.tuples(st.just("undo"), st.integers(0, 30)),
    st.tuples(st.just("redo"), st.integers(0, 30)),
    st.tuples(st.just("number"), st.tuples(FRUIT, st.integers(0, 500))),
    st.tuples(st.just("from_to"), st.tuples(FRUIT, st.integers(0, 50), st.integers(0, 50))),
    st.tuples(st.just("adjust"), st.tuples(FRUIT, st.integers(-9, 9).filter(bool))),
    st.tuples(st.just("part"), st.sampled_from([WHOLE, BARE])),
    st.tuples(st.just("reopen"), st.none()),
)


@dataclass
class Mark:
    """A mark in the independent count."""

    rec: str
    marks: list[str]
    cover: str
    stands: bool = True


@dataclass
class Count:
    """Fruit counted without any store: marks that stand, and what was said in numbers."""

    marks: list[Mark] = field(default_factory=list)
    numbers: list[tuple[str, str, float]] = field(default_factory=list)

    def newest(self) -> Mark | None:
        """The newest mark that stands."""
        return next((mark for mark in reversed(self.marks) if mark.stands), None)

    def of(self, cover: str) -> dict[str, float]:
        """Fruit of one cover by what they count as."""
        counts = dict.fromkeys(WORST_FIRST, 0.0)
        for mark in self.marks:
            if mark.stands and mark.cover == cover:
                counts[next(word for word in WORST_FIRST if word in mark.marks)] += 1
        for said_cover, word, n in self.numbers:
            if said_cover == cover:
                counts[word] += n
        return {word: max(0.0, n) for word, n in counts.items()}


class Scorer:
    """Somebody who touches the screen, and somebody beside who counts along."""

    def __init__(self, folder: Path) -> None:
        self.clock = SetClock()
        self.path = folder / "phone.db"
        self.phone = PhoneStore(self.path, self.clock)
        begin(self.phone, "Ada", "Europe/Rome")
        garden = name_garden(self.phone, "Garden", Hemisphere.NORTH).garden
        self.tree = add_tree(self.phone, "1", garden).trees[0]
        self.visit = PickingVisit(self.phone, self.tree)
        self.part: Part = WHOLE
        self.count = Count()

    def touch(self, what: str, with_it: object) -> None:
        """One touch, on the screen and in the count."""
        self.clock.move(seconds=2)
        getattr(self, what)(with_it)

    def score(self, fruit: Fruit) -> None:
        self.visit.score(fruit)
        newest = self.phone.history(1)[0]
        assert newest.kind == "mark"
        self.count.marks.append(Mark(newest.rec, [fruit.value], self.part.cover.value))

    def also(self, fruit: Fruit) -> None:
        newest = self.count.newest()
        together = {*newest.marks, fruit.value} if newest else set()
        if newest is None or (len(together) > 1 and together & {"clean", "not_sure"}):
            try:
                self.visit.and_also(fruit)
            except BadInputError:
                return
            raise AssertionError("a fruit that is clean or not sure took a second mark")
        self.visit.and_also(fruit)
        newest.marks.append(fruit.value)

    def back(self, _: object) -> None:
        self.visit.take_back()
        newest = self.count.newest()
        if newest:
            newest.stands = False

    def undo(self, place: int) -> None:
        if self.count.marks:
            mark = self.count.marks[place % len(self.count.marks)]
            undo(self.phone, mark.rec)
            mark.stands = False

    def redo(self, place: int) -> None:
        if self.count.marks:
            mark = self.count.marks[place % len(self.count.marks)]
            redo(self.phone, mark.rec)
            mark.stands = True

    def number(self, said: tuple[Fruit, int]) -> None:
        self.visit.number(said[0], Amount.exactly(said[1]))
        self.count.numbers.append((self.part.cover.value, said[0].value, said[1]))

    def from_to(self, said: tuple[Fruit, int, int]) -> None:
        low, high = sorted(said[1:])
        self.visit.number(said[0], Amount.from_to(low, high))
        self.count.numbers.append((self.part.cover.value, said[0].value, (low + high) / 2))

    def adjust(self, said: tuple[Fruit, int]) -> None:
        if self.visit.visit:
            adjust(
                self.phone,
                self.visit.visit,
                said[1],
                "counted again",
                fruit=said[0],
                source=Source.PICKED,
                part=self.part,
            )
            self.count.numbers.append((self.part.cover.value, said[0].value, said[1]))

    def part_at_hand(self, part: Part) -> None:
        self.part = part
        self.visit.from_part(part)

    def reopen(self, _: object) -> None:
        self.phone.close()
        self.phone = PhoneStore(self.path, self.clock)
        self.visit = PickingVisit(self.phone, self.tree)
        self.visit.from_part(self.part)


@settings(max_examples=40, deadline=None)
@given(st.lists(TOUCH, min_size=1, max_size=25))
def test_every_key_shows_what_an_independent_count_shows(touches: list[tuple[str, object]]) -> None:
    with TemporaryDirectory() as folder:
        scorer = Scorer(Path(folder))
        try:
            for what, with_it in touches:
                scorer.touch("part_at_hand" if what == "part" else what, with_it)
                shown = scorer.visit.view.counts
                assert {key.value: n for key, n in shown.items()} == scorer.count.of(scorer.part.cover.value)
            told = report_of(scorer.phone, "2026").scored
            counted = [scorer.count.of(cover) for cover in ("none", "bare")]
            for word in WORST_FIRST:
                assert getattr(told, word) == sum(counts[word] for counts in counted)
        finally:
            scorer.phone.close()


BAG_TOUCH = st.one_of(
    st.tuples(st.sampled_from(["bag", "ten", "take_back"]), st.just(0)),
    st.tuples(st.sampled_from(["number", "adjust", "took", "left"]), st.integers(1, 60)),
)


@settings(max_examples=25, deadline=None)
@given(st.lists(BAG_TOUCH, min_size=1, max_size=20))
def test_bags_on_a_tree_are_the_box_where_it_is_told_and_else_what_was_tallied(
    touches: list[tuple[str, int]],
) -> None:
    with TemporaryDirectory() as folder:
        scorer = Scorer(Path(folder))
        try:
            visit = BaggingRound(scorer.phone).open(scorer.tree)
            marks = numbers = 0
            took: int | None = None
            left = 0
            for what, n in touches:
                scorer.clock.move(seconds=2)
                if what == "number":
                    visit.number(Amount.exactly(n))
                    numbers += n
                elif what == "adjust":
                    if visit.visit and took is not None:
                        with pytest.raises(BadInputError, match="counted by the box"):
                            adjust(scorer.phone, visit.visit, n, "counted again")
                    elif visit.visit:
                        adjust(scorer.phone, visit.visit, n, "counted again")
                        numbers += n
                elif what in ("took", "left"):
                    getattr(visit, what)(n)
                    took, left = (n, left) if what == "took" else (took, n)
                else:
                    getattr(visit, what)()
                    marks += what == "bag"
                    marks -= what == "take_back" and marks > 0
                    numbers += 10 * (what == "ten")
                on = max(0, took - left) if took is not None else marks + numbers
                assert (visit.view.on_visit, visit.view.on_tree) == (on, on)
            assert report_of(scorer.phone, "2026").bags_put_on == on
        finally:
            scorer.phone.close()

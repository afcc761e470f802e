"""Two people score the same fruit, one after the other and unseen; every mark is on disk before it is told.

Offers `TwoScorers` and `compared`. Until both are through it is no record: what was scored so far is kept beside the
records, so that neither a restart nor another errand loses it. It counts in no rate.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import NOW, Told
from mobile.workflows.people import PersonLine, name_of, people
from mobile.workflows.picking import KEYS
from mobile.workflows.scoring_checks import score_twice
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.calculations.agreement import agreement
from shared_models.errors import BadInputError
from shared_models.field_words import value_word
from shared_models.language import say
from shared_models.records.scoring_checks import DoubleScore
from shared_models.vocabulary import Fruit

MOST = 200  # fruit of one double score, as its record holds at most
WANTED = 20  # fruit that show something and do not tire (convention of this project)


class Turn(StrEnum):
    """Whose turn it is: the second person is chosen, the first scores, the phone is handed over, the second scores."""

    CHOOSE = "choose"
    FIRST = "first"
    HANDED_OVER = "handed_over"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class TwoView:
    """What a screen shows: whose turn it is and how many fruit that person has scored; never what the other said.

    `of` is how many fruit the second person gets, None while the first one scores. `last` is the newest mark of this
    turn. `others` are the people who can be the second one.
    """

    tree: TreeLine
    first: str
    second: str
    turn: Turn
    scored: int
    of: int | None
    last: Fruit | None
    others: tuple[PersonLine, ...]

    @property
    def complete(self) -> bool:
        """Whether both have scored the same number of fruit."""
        return self.of is not None and self.scored == self.of


@dataclass(frozen=True, slots=True)
class Compared:
    """A finished double score: how far the two agree, and the fruit on which they do not."""

    tree: TreeLine | None
    sentence: str
    differing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A double score that was recorded, and how it is taken back: the marks can be gone on with then."""

    rec: str
    take_back: Callable[[PhoneStore], None]


class TwoScorers:
    """`told.done_by` is the first one where that is not this phone's person."""

    def __init__(self, store: PhoneStore, tree: str, told: Told = NOW) -> None:
        self._store, self._told = store, told
        self.tree = TreeList(store).line(tree)
        self._name = f"two scorers {self.tree.tree}"
        kept = store.unfinished(self._name) or {}
        self._second: str | None = kept.get("person")
        self._turn = Turn(kept.get("turn", Turn.CHOOSE))
        self._marks = {turn: [Fruit(one) for one in kept.get(turn, [])] for turn in (Turn.FIRST, Turn.SECOND)}

    @property
    def view(self) -> TwoView:
        """As it stands."""
        marks = self._marks.get(self._turn, [])
        lines = people(self._store)
        return TwoView(
            self.tree,
            name_of(self._store, self._first),
            name_of(self._store, self._second) if self._second else "",
            self._turn,
            len(marks),
            None if self._turn in (Turn.CHOOSE, Turn.FIRST) else len(self._marks[Turn.FIRST]),
            marks[-1] if marks else None,
            tuple(line for line in lines if line.person != self._first and not line.retired),
        )

    def with_second(self, person: str) -> TwoView:
        """Who scores second."""
        if person == self._first:
            raise BadInputError(say("A second person is needed; the same one is named twice."), "second")
        return self._keep(Turn.FIRST, second=person)

    def score(self, fruit: Fruit) -> TwoView:
        """One fruit by whoever's turn it is."""
        marks = self._marks.get(self._turn)
        if marks is None or fruit not in KEYS or len(marks) >= self._most:
            raise BadInputError(say("All of this fruit is scored; nothing was added."), "marks")
        marks.append(fruit)
        return self._keep(self._turn)

    def less(self) -> TwoView:
        """−1: take the newest mark of this turn back."""
        marks = self._marks.get(self._turn)
        if marks:
            marks.pop()
        return self._keep(self._turn)

    def take_back(self, before: TwoView) -> TwoView:
        """Be as before one touch, where nothing was touched since."""
        here = self.view
        return self.less() if (here.turn, here.scored) == (before.turn, before.scored + 1) else here

    def hand_over(self) -> TwoView:
        """The first one is through."""
        if not self._marks[Turn.FIRST]:
            raise BadInputError(say("Score at least one fruit first; about twenty show something."), "marks")
        return self._keep(Turn.HANDED_OVER)

    def begin_second(self) -> TwoView:
        """The second one has the phone."""
        return self._keep(Turn.SECOND)

    def first_again(self) -> TwoView:
        """The first one goes on scoring."""
        return self._keep(Turn.FIRST)

    def done(self) -> Kept:
        """Record it. BadInputError where a fruit is missing, and nothing is lost then."""
        first, second = self._marks[Turn.FIRST], self._marks[Turn.SECOND]
        made = score_twice(self._store, self.tree.tree, self._second or "", first, second, self._told)
        again = self.give_up()

        def take_back(store: PhoneStore) -> None:
            again(store)
            store.undo(made)

        return Kept(made, take_back)

    def give_up(self) -> Callable[[PhoneStore], None]:
        """Forget what was scored so far, nothing of which was recorded; returns how it is taken back."""
        name, kept = self._name, self._store.unfinished(self._name)
        self._store.keep_unfinished(name, None)
        return lambda store: store.keep_unfinished(name, kept)

    @property
    def _first(self) -> str:
        identity = self._store.identity
        return self._told.done_by or (identity.person if identity else "")

    @property
    def _most(self) -> int:
        return MOST if self._turn is Turn.FIRST else len(self._marks[Turn.FIRST])

    def _keep(self, turn: Turn, second: str | None = None) -> TwoView:
        self._turn, self._second = turn, second or self._second
        marks: dict[str, Any] = {str(of): [str(one) for one in told] for of, told in self._marks.items()}
        self._store.keep_unfinished(self._name, marks | {"turn": str(turn), "person": self._second})
        return self.view


def compared(store: PhoneStore, rec: str) -> Compared:
    """A double score in words; BadInputError where this phone has none of that id."""
    found = store.get(DoubleScore, rec)
    if found is None:
        raise BadInputError(say("This record is not on this phone."), "rec")
    first, second = name_of(store, found.person), name_of(store, found.second)
    tree = TreeList(store).line(found.tree) if found.tree else None
    differing = _differing(first, second, found.first_marks, found.second_marks)
    return Compared(tree, _alike(first, second, found), tuple(differing))


def _alike(first: str, second: str, found: DoubleScore) -> str:
    if len(found.first_marks) != len(found.second_marks):
        return say("The two did not score the same number of fruit.")
    shown = agreement(found.first_marks, found.second_marks)
    return say(
        "{first} and {second}: {alike} of {fruit} fruit alike, {share} % (likely {low}–{high} %).",
        first=first,
        second=second,
        alike=round(shown.equal * shown.fruit),
        fruit=shown.fruit,
        share=round(100 * shown.equal),
        low=round(100 * shown.low),
        high=round(100 * shown.high),
    )


def _differing(first: str, second: str, one: Sequence[Fruit], other: Sequence[Fruit]) -> list[str]:
    return [
        say(
            "Fruit {number}: {mark} ({first}), {other} ({second})",
            number=number,
            first=first,
            mark=value_word(a.value),
            second=second,
            other=value_word(b.value),
        )
        for number, (a, b) in enumerate(zip(one, other, strict=False), start=1)
        if a != b
    ]

"""At the tree with a box of bags: by the box, ten at once, a number, or one touch a bag; hours by themselves.

Offers `BaggingRound` (material and fruit size, asked once a round) and `BaggingVisit` (one helper at one tree);
visits of several helpers to one tree add up. `take_bags_off` notes bags taken off later, which never lowers a number;
`put_on` and `bagging_visits` tell what was put on.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.job import JobDone, record_job
from mobile.workflows.moments import NOW, Told, season_of_garden, today
from mobile.workflows.tally import Amount, bags, number_in_words
from mobile.workflows.tree_list import TreeLine, TreeList
from mobile.workflows.tree_plans import Declared, declare_untreated, nothing_recorded
from mobile.workflows.tree_visit import AtTree, Idle, TreeVisit
from shared_models.errors import BadInputError
from shared_models.language import say, say_many
from shared_models.records.kinds import check_fields
from shared_models.records.tallies import Visit
from shared_models.vocabulary import BAGGING, Round, Tallied
from shared_models.when import parse_when


@dataclass(frozen=True, slots=True)
class BagAnswer:
    """What is asked once a round."""

    material: str | None = None
    fruit_size_mm: float | None = None

    @property
    def in_words(self) -> str:
        """Such as "two-layer paper, fruit 22 mm"; empty where nothing is said."""
        size = self.fruit_size_mm
        fruit = [] if size is None else [say("fruit {size} mm", size=number_in_words(size))]
        return ", ".join([*([self.material] if self.material else []), *fruit])


def bag_answer(material: str, fruit_size_mm: float | None) -> BagAnswer:
    """What was typed of the bags; BadInputError, with its field, where a visit could not carry it."""
    answer = BagAnswer(material.strip() or None, fruit_size_mm)
    typed = said(material=answer.material, fruit_size_mm=answer.fruit_size_mm)
    for complaint in check_fields(Visit.kind, typed, creates=False):
        raise BadInputError(complaint.sentence, complaint.field)
    return answer


@dataclass(frozen=True, slots=True)
class UntreatedQuestion:
    """Asked at the first bags of a garden: whether the trees beside it are left untreated on purpose."""

    sentence: str
    trees: tuple[TreeLine, ...]


@dataclass(frozen=True, slots=True)
class BaggingView:
    """What a screen shows. `by_box` counts where it is given, else `tallied`; both are shown.

    `today` and `on_tree` are bags put on by everybody this phone knows of, this visit included. `answer` is what the
    visit carries; `asked` says whether material and fruit size have still to be asked on this round, `offered` the
    last answer.
    """

    at: AtTree
    took: int | None
    left: int | None
    by_box: int | None
    tallied: float
    on_visit: float
    today: float
    on_tree: float
    answer: BagAnswer
    asked: bool
    offered: BagAnswer | None
    question: UntreatedQuestion | None


_MOST_A_DAY = 200  # visits of one day among which the last answer is looked for


class BaggingRound:
    """One walk with bags, for whoever `told` says did it."""

    def __init__(self, store: PhoneStore, told: Told = NOW) -> None:
        self._store = store
        self._told = told
        self.offered: BagAnswer | None = None
        self.answer: BagAnswer | None = None
        self._recall()

    def set_answer(self, material: str | None, fruit_size_mm: float | None = None) -> None:
        """Answer material and fruit size for this round."""
        self.answer = BagAnswer(material.strip() if material else None, fruit_size_mm)

    def trees(self, garden: str) -> list[TreeLine]:
        """The trees of a garden in walking order."""
        return TreeList(self._store).standing(garden)

    def open(self, tree: str, done_by: str | None = None) -> "BaggingVisit":
        """Stand at a tree; `done_by` is a helper without a phone of their own. Nothing is recorded by that."""
        told = Told(self._told.when, done_by or self._told.done_by, self._told.season)
        return BaggingVisit(self._store, tree, told, self)

    def _recall(self) -> None:
        """The last answer of this phone: settled where it was given today, else offered."""
        device, day = self._store.identity.device if self._store.identity else "", today(self._store)
        answered = self._store.few.newest_saying(Visit, device, ("material", "fruit_size_mm"), _MOST_A_DAY)
        bagged = [visit for visit in answered if visit.round is Round.BAGGING]
        if bagged:
            newest = max(bagged, key=lambda visit: (visit.moment.order, visit.rec))
            self.offered = BagAnswer(newest.material, newest.fruit_size_mm)
            self.answer = self.offered if newest.moment.day == day else None


class BaggingVisit(TreeVisit):
    """One helper's visit to one tree with bags."""

    round = Round.BAGGING

    def __init__(
        self,
        store: PhoneStore,
        tree: str,
        told: Told = NOW,
        of_round: BaggingRound | None = None,
        *,
        visit: str | None = None,
    ) -> None:
        super().__init__(store, tree, told, visit=visit)
        self._of_round = of_round or BaggingRound(store, told)
        self._season = self._season_key()
        self._others = self._read_others()
        self._question = self._question_beside()

    def start(self) -> BaggingView:
        """Begin the hours before the first bag is counted."""
        self._start_answer()
        if self._record is None:
            self._set()
        return self.view

    def took(self, number: int) -> BaggingView:
        """Bags taken from the box, in all on this visit."""
        return self._say(took=number)

    def took_more(self, number: int) -> BaggingView:
        """Further bags taken from the box."""
        before = self._record.took or 0 if self._record else 0
        return self._say(took=before + number)

    def left(self, number: int) -> BaggingView:
        """Bags left over; those put on are what was taken less what was left."""
        return self._say(left=number)

    def bag(self) -> BaggingView:
        """One bag more."""
        self._start_answer()
        self.made = self._mark({"what": Tallied.BAG.value})
        return self.view

    def ten(self) -> BaggingView:
        """Ten bags more."""
        return self.number(Amount.exactly(10))

    def number(self, amount: Amount) -> BaggingView:
        """Many bags more at once."""
        self._start_answer()
        self.made = self._number(amount, {"what": Tallied.BAG.value})
        return self.view

    def by_the_box_as(self, before: BaggingView) -> BaggingView:
        """Take back what was said of the box, to what it was before."""
        self._set(took=before.took, left=before.left)
        return self.view

    def take_back(self) -> BaggingView:
        """−1: take back the newest mark made on this phone."""
        self.minus_one()
        return self.view

    def answer(self, material: str | None, fruit_size_mm: float | None = None) -> BaggingView:
        """Answer material and fruit size for this round, on this visit too where it has begun."""
        self._of_round.set_answer(material, fruit_size_mm)
        answered = self._answer_fields()
        if self._record is not None and answered:
            self._set(**answered)
        return self.view

    def leave_beside_untreated(self, trees: Sequence[str] | None = None) -> Declared:
        """Answer yes to the question about the trees beside, for all of them or those named."""
        asked = self._question.trees if self._question else ()
        self._question = None
        return declare_untreated(self._store, trees if trees is not None else [line.tree for line in asked])

    def not_untreated(self) -> BaggingView:
        """Answer no, or leave the question; nothing is recorded."""
        self._question = None
        return self.view

    def done(self, idle: Idle = Idle.WORKED) -> BaggingView:
        """End the visit."""
        self.end(idle)
        return self.view

    def refresh(self) -> BaggingView:
        """Read the visits of others anew, as after an exchange with the server."""
        self._others = self._read_others()
        return self.view

    @property
    def view(self) -> BaggingView:
        """The tree as it is now."""
        record = self._record
        tallied = bags(self._store.tallies(self.visit)) if self.visit else 0
        by_box = record.bags_by_the_box if record else None
        on_visit = float(by_box) if by_box is not None else tallied
        of_day = sum(number for visit, number in self._others if visit.moment.day == self._day())
        return BaggingView(
            at=self.at_tree,
            took=record.took if record else None,
            left=record.left if record else None,
            by_box=by_box,
            tallied=tallied,
            on_visit=on_visit,
            today=of_day + on_visit,
            on_tree=sum(number for _, number in self._others) + on_visit,
            answer=BagAnswer(record.material, record.fruit_size_mm) if record else BagAnswer(),
            asked=self._of_round.answer is None,
            offered=self._of_round.offered,
            question=self._question,
        )

    def _say(self, **fields: object) -> BaggingView:
        self.made = None
        self._start_answer()
        self._set(**fields)
        return self.view

    def _start_answer(self) -> None:
        self._at_start = self._answer_fields()

    def _answer_fields(self) -> dict[str, object]:
        answer = self._of_round.answer
        return said(material=answer.material, fruit_size_mm=answer.fruit_size_mm) if answer else {}

    def _day(self) -> object:
        return parse_when(self.at_tree.when).day

    def _season_key(self) -> str | None:
        record = self._record
        by_hand = record.season if record else self._told.get("season")
        return by_hand or season_of_garden(self._store, self.tree.garden, self.at_tree.when)

    def _read_others(self) -> list[tuple[Visit, float]]:
        others = bagging_visits(self._store, self._trees, self.tree, self._season)
        return [(visit, number) for visit, number in others if visit.rec != self.visit]

    def _question_beside(self) -> UntreatedQuestion | None:
        if self._season is None or self._others or self.visit or self._bagged_in_garden():
            return None
        beside = tuple(
            line
            for line in self._trees.beside(self.tree.tree)
            if nothing_recorded(self._store, line.tree, self._season, self._trees)
        )
        labels = ", ".join(line.label for line in beside)
        sentence = say_many(
            "Beside it stands tree {labels}. Nothing done to this tree this season, as far as you know?",
            "Beside it stand trees {labels}. Nothing done to these trees this season, as far as you know?",
            len(beside),
            labels=labels,
        )
        return UntreatedQuestion(sentence, beside) if beside else None

    def _bagged_in_garden(self) -> bool:
        here = {line.tree for line in self._trees.standing(self.tree.garden)}
        of_season = self._store.few.of_season(Visit, self._season) if self._season else []
        return any(
            visit.round is Round.BAGGING
            and self._trees.one(visit.tree) in here
            and self._season in (visit.season, season_of_garden(self._store, self.tree.garden, visit.when))
            for visit in of_season
        )


def bagging_visits(
    store: PhoneStore, trees: TreeList, tree: TreeLine, season: str | None
) -> list[tuple[Visit, float]]:
    """The bagging visits to a tree in a season, with the bags that each put on."""
    records = trees.records_of(tree.tree)
    found = []
    for visit in store.few.naming(Visit, records, of=season):
        if visit.round is Round.BAGGING and visit.tree in records:
            key = visit.season or season_of_garden(store, tree.garden, visit.when)
            if key == season:
                found.append((visit, put_on(store, visit)))
    return found


def has_bags(store: PhoneStore, trees: TreeList, tree: TreeLine, when: str) -> bool:
    """Whether bags were put on a tree in the season of a moment, as far as this phone knows."""
    season = season_of_garden(store, tree.garden, when)
    return any(number > 0 for _, number in bagging_visits(store, trees, tree, season))


def take_bags_off(
    store: PhoneStore,
    trees: Sequence[str],
    *,
    number: int | None = None,
    minutes: int | None = None,
    people: int | None = None,
    told: Told = NOW,
) -> JobDone:
    """Note that bags were taken off; the bags that were put on stay counted."""
    if number is not None and number < 0:
        raise BadInputError(
            say("The number of bags taken off is 0 or more, not {number}.", number=number), "number"
        )
    note = say("Bags taken off.") if number is None else say("Bags taken off: {number}.", number=number)
    return record_job(store, BAGGING, trees=trees, minutes=minutes, people=people, note=note, told=told)


def put_on(store: PhoneStore, visit: Visit) -> float:
    """The bags that a visit put on: by the box where it was counted so, else as tallied."""
    by_box = visit.bags_by_the_box
    return float(by_box) if by_box is not None else bags(store.tallies(visit.rec))

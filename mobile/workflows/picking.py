"""At picking: one touch a fruit on six keys, a second mark on the same fruit, and how many were picked in all.

Offers `PickingVisit`. No share is shown while scoring, since it steers the hand; `done` gives it, with the range for
this tree. Fruit of one visit may be bagged and bare, picked, dropped and taken off by hand, each apart.
"""

from dataclasses import dataclass, replace
from functools import partial

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import has_bags
from mobile.workflows.drafting import fresh_id, said
from mobile.workflows.fruit_details import NOTHING_NOTED, FruitDetail, detail_of, noted_in_words
from mobile.workflows.label_clocks import label_warnings
from mobile.workflows.moments import NOW, Told, season_of_garden
from mobile.workflows.picking_result import PickingResult, result_of
from mobile.workflows.places_on_tree import place_name
from mobile.workflows.tally import WHOLE, Amount, Part, number_in_words, part_notes
from mobile.workflows.tree_plans import Declared, declare_untreated, nothing_recorded
from mobile.workflows.tree_visit import AtTree, Idle, TreeVisit, made_here, scored_fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.tallies import Pick, TallyMark, Visit
from shared_models.season.scores import worst
from shared_models.season_records import TallyCount
from shared_models.vocabulary import AllScored, Certainty, Fruit, Round, Source, Tallied
from shared_models.when import parse_when

KEYS = (Fruit.CLEAN, Fruit.STING, Fruit.DEEP_ENTRY, Fruit.OTHER_INSECT, Fruit.OTHER, Fruit.NOT_SURE)
_ALONE = frozenset({Fruit.CLEAN, Fruit.NOT_SURE})  # a fruit that is one of these is nothing else


@dataclass(frozen=True, slots=True)
class PickTold:
    """What is said of the pick of the part at hand."""

    total: int | None = None
    weight_kg: float | None = None
    fruit_per_kg: float | None = None
    all_scored: AllScored = AllScored.NOT_SAID
    total_certainty: Certainty = Certainty.EXACT
    taken_by_others: int | None = None


@dataclass(frozen=True, slots=True)
class PickingView:
    """What a screen shows while scoring: a count for each key, of the part and source at hand; never a share.

    `scored` is all fruit of this visit, not sure left out. `last_fruit` is what *and also* adds to, `last_detail`
    what else was noted of it. `part_name` is the cultivar of the part at hand, empty for the whole tree. `part_asked`
    says that the tree has bags and nobody said yet whether the next fruit is bagged or bare.
    """

    at: AtTree
    part: Part
    source: Source
    counts: dict[Fruit, float]
    scored: float
    not_sure: float
    last_fruit: tuple[Fruit, ...]
    last_detail: FruitDetail
    part_name: str
    pick: PickTold
    question: str | None
    part_asked: bool
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Last:
    """The fruit that was scored last on this phone: its mark's id, its marks, what else was noted of it."""

    rec: str
    marks: tuple[Fruit, ...]
    detail: FruitDetail = NOTHING_NOTED


class PickingVisit(TreeVisit):
    """One visit to one tree at picking."""

    round = Round.PICKING

    def __init__(self, store: PhoneStore, tree: str, told: Told = NOW, *, visit: str | None = None) -> None:
        super().__init__(store, tree, told, visit=visit)
        self.part, self.source = WHOLE, Source.PICKED
        self._picks = self._own_picks()
        self._last = self._read_last()
        when = self.at_tree.when
        self._label_warnings = label_warnings(store, self.tree.tree, parse_when(when).last, self._trees)
        self._has_bags = has_bags(store, self._trees, self.tree, when)
        self._question = self._untreated_question()

    def from_part(self, part: Part, source: Source = Source.PICKED) -> PickingView:
        """Where the next fruit come from: part of the tree, bag or bare; and from the tree, the ground or by hand."""
        self.part, self.source = part, source
        return self.view

    def score(self, fruit: Fruit) -> PickingView:
        """One fruit, by its key."""
        self._tally([_key(fruit)], None)
        return self.view

    def and_also(self, fruit: Fruit) -> PickingView:
        """A second mark on the fruit that was scored last on this phone."""
        self._last = self._read_last()
        last = self._last
        if last is None or not last.marks:
            raise BadInputError(say("Score the fruit first; “and also” adds to it."), "marks")
        together = list(dict.fromkeys([*last.marks, _key(fruit)]))
        if len(together) > 1 and _ALONE & set(together):
            raise BadInputError(
                say(
                    "A fruit that is clean or not sure carries no second mark; take it back with −1 and score it anew."
                ),
                "marks",
            )
        return self._mark_newest(last, tuple(together))

    def as_before(self, before: PickingView) -> PickingView:
        """Take back what made no record of its own: a second mark or a detail of the last fruit, or a weight."""
        last, marks, detail = self._last, before.last_fruit, before.last_detail
        if last is not None and last.marks != marks:
            self._mark_newest(last, marks)
        elif last is not None and last.detail != detail:
            self.detail(detail)
        pick = self.pick_of(before.part.place, before.part.cover.value)
        if pick is not None and self._told_of(pick) != before.pick:
            told = {"weight_kg": before.pick.weight_kg, "fruit_per_kg": before.pick.fruit_per_kg}
            self._store.record(Pick.kind, told, pick)
        return self.view

    def detail(self, detail: FruitDetail) -> PickingView:
        """What else was seen of the fruit that was scored last on this phone; changes no count."""
        self._last = self._read_last()
        if self._last is None:
            raise BadInputError(say("Score the fruit first; this is noted of the last one."), "marks")
        self._note, self.made = None, None
        self._store.record(TallyMark.kind, detail.fields(), self._last.rec)
        self._last = replace(self._last, detail=detail)
        return self.view

    def number(self, fruit: Fruit, amount: Amount) -> PickingView:
        """Many fruit of one key at once: exact, estimated or from–to."""
        self._tally([_key(fruit)], amount)
        return self.view

    def take_back(self) -> PickingView:
        """−1: take back the newest fruit scored on this phone."""
        self.minus_one()
        self._last = self._read_last()
        return self.view

    def picked_in_all(self, total: int, certainty: Certainty = Certainty.EXACT) -> PickingView:
        """How many fruit of this part were picked in all; those that others took stand outside."""
        return self._say_of_pick(total=total, total_certainty=certainty)

    def weighed(self, weight_kg: float, fruit_per_kg: float | None = None) -> PickingView:
        """What this part gave in all by weight; with fruit per kilogram it becomes a number of fruit."""
        return self._say_of_pick(
            weight_kg=weight_kg, fruit_per_kg=fruit_per_kg, total_certainty=Certainty.ESTIMATED
        )

    def weigh_more(self, weight_kg: float, fruit_per_kg: float | None = None) -> PickingView:
        """One more crate of this part; a typed total stays what it is."""
        if weight_kg <= 0:
            raise BadInputError(say("Say how many kilograms the scales show, more than none."), "weight_kg")
        told = self._told_of(self.pick_of(self.part.place, self.part.cover.value))
        whole = round((told.weight_kg or 0) + weight_kg, 3)  # [kg] scales show grams at best
        return self._say_of_pick(weight_kg=whole, fruit_per_kg=fruit_per_kg or told.fruit_per_kg)

    def all_scored(self, answer: AllScored) -> PickingView:
        """Whether every picked fruit of this part was scored."""
        return self._say_of_pick(all_scored=answer)

    def taken_by_others(self, number: int) -> PickingView:
        """Fruit of this part that was eaten, or taken by deer or wind."""
        return self._say_of_pick(taken_by_others=number)

    def pick_of(self, place: str, cover: str) -> str | None:
        """The pick of a part on this visit; None where there is none yet."""
        return self._picks.get((place, cover))

    def left_untreated(self) -> Declared:
        """Answer yes: nothing was done to this tree this season. Declared once scoring began it is marked late."""
        self._question = None
        return declare_untreated(self._store, [self.tree.tree], season=self._season())

    def not_untreated(self) -> PickingView:
        """Answer no, or leave the question; nothing is recorded."""
        self._question = None
        return self.view

    def done(self, idle: Idle = Idle.WORKED) -> PickingResult:
        """End the visit and show what it found."""
        self.end(idle)
        return self.result

    @property
    def result(self) -> PickingResult:
        """What the visit found, with what was said of its picks; told when it is done."""
        told = {part: self._told_of(pick) for part, pick in self._picks.items()}
        noted = noted_in_words(self._store.few.marks_of(self.visit)) if self.visit else ""
        return result_of(self.at_tree, self._tallies(), told, partial(place_name, self._store), noted)

    @property
    def view(self) -> PickingView:
        """The tree as it is now."""
        tallies = self._tallies()
        fruit = [(worst(count.marks), count) for count in tallies if count.what == Tallied.FRUIT]
        here = [(kind, count.n) for kind, count in fruit if self._at_hand(count)]
        counts = {key: max(0.0, sum(n for kind, n in here if kind is key)) for key in KEYS}
        pick = self._told_of(self._picks.get((self.part.place, self.part.cover.value)))
        scored = sum(count.n for kind, count in fruit if kind not in (None, Fruit.NOT_SURE))
        part_unsaid = part_notes(self._has_bags, self.part)
        picked = sum(n for kind, n in here if kind is not None) if self.source is Source.PICKED else 0
        return PickingView(
            at=self.at_tree,
            part=self.part,
            source=self.source,
            counts=counts,
            scored=max(0.0, scored),
            not_sure=max(0.0, sum(count.n for kind, count in fruit if kind is Fruit.NOT_SURE)),
            last_fruit=self._last.marks if self._last else (),
            last_detail=self._last.detail if self._last else NOTHING_NOTED,
            part_name=place_name(self._store, self.part.place),
            pick=pick,
            question=self._question,
            part_asked=bool(part_unsaid),
            warnings=(
                *self._label_warnings,
                *part_unsaid,
                *_total_notes(pick, picked),
            ),
        )

    def _tally(self, marks: list[Fruit], amount: Amount | None) -> None:
        fields = scored_fields(marks, self.part, source=self.source.value)
        if amount is not None:
            fields |= amount.fields()
        with_it = self._pick_drafts() if self.source is Source.PICKED else []
        if amount is None:
            self.made = self._mark(fields, *with_it)
            self._last = _Last(self.made, tuple(marks))
        else:
            self.made = self._number(amount, fields, *with_it)
        self._remember_pick(with_it)

    def _mark_newest(self, newest: _Last, marks: tuple[Fruit, ...]) -> PickingView:
        self._note, self.made = None, None
        self._store.record(TallyMark.kind, {"marks": [mark.value for mark in marks]}, newest.rec)
        self._last = replace(newest, marks=marks)
        return self.view

    def _say_of_pick(self, **fields: object) -> PickingView:
        """Set fields of the pick of the part at hand; pick and visit are made with it where they are not there."""
        key = (self.part.place, self.part.cover.value)
        if key in self._picks and self._store.get(Pick, self._picks[key]) is None:
            del self._picks[key]  # undone by itself
        drafts = self._pick_drafts()
        pick = drafts[0].rec if drafts else self._picks[key]
        visit, starting = self._visit_for_touch()
        self._store.record_all([*drafts, *starting, Draft(Pick.kind, said(**fields), pick)])
        self._began(visit)
        self._remember_pick(drafts)
        return self.view

    def _pick_drafts(self) -> list[Draft]:
        """What makes the pick of the part at hand, and names it on the visit, where that is still to be done."""
        key = (self.part.place, self.part.cover.value)
        record, pick = self._record, fresh_id(self._store)
        if record is None:
            self._picks.clear()  # a visit that was undone took its picks with it
        if key in self._picks:
            return []
        self._settle_start()
        told = {name: value for name, value in self._told.items() if name != "when"}
        when = record.when if record else self._told["when"]
        fields = {"tree": self.tree.tree, "when": when, "place": key[0], "cover": key[1], **told}
        drafts = [Draft(Pick.kind, fields, pick)]
        if record is None:
            self._at_start["pick"] = pick
        elif record.pick is None:
            drafts.append(Draft(Visit.kind, {"pick": pick}, record.rec))
        return drafts

    def _remember_pick(self, drafts: list[Draft]) -> None:
        for draft in drafts:
            if draft.kind == Pick.kind and draft.rec:
                self._picks[str(draft.fields["place"]), str(draft.fields["cover"])] = draft.rec

    def _own_picks(self) -> dict[tuple[str, str], str]:
        """The picks of this visit by place and cover: the one it names, and this phone's others of the same moment."""
        record = self._record
        if record is None:
            return {}
        device = self._store.identity.device if self._store.identity else ""
        named = self._store.get(Pick, record.pick) if record.pick else None
        return {
            (pick.place, pick.cover.value): pick.rec
            for pick in [*self._store.few.naming(Pick, [record.tree]), *([named] if named else [])]
            if pick.rec == record.pick
            or (
                pick.tree == record.tree
                and pick.when == record.when
                and made_here(self._store, pick.rec, device)
            )
        }

    def _told_of(self, pick: str | None) -> PickTold:
        found = self._store.get(Pick, pick) if pick else None
        if found is None:
            return PickTold()
        return PickTold(
            found.total,
            found.weight_kg,
            found.fruit_per_kg,
            found.all_scored,
            found.total_certainty,
            found.taken_by_others,
        )

    def _tallies(self) -> list[TallyCount]:
        return self._store.tallies(self.visit) if self.visit else []

    def _at_hand(self, count: TallyCount) -> bool:
        here = (self.part.place, self.part.cover.value, (self.part.bag or ""), self.source.value)
        return (count.place, count.cover, count.bag, count.source) == here

    def _read_last(self) -> _Last | None:
        """The newest fruit scored on this phone."""
        newest = self._store.newest_own_mark(self.visit) if self.visit else None
        found = self._store.get(TallyMark, newest) if newest else None
        return _Last(found.rec, tuple(found.marks or ()), detail_of(found)) if found else None

    def _season(self) -> str | None:
        record = self._record
        by_hand = record.season if record else self._told.get("season")
        return by_hand or season_of_garden(self._store, self.tree.garden, self.at_tree.when)

    def _untreated_question(self) -> str | None:
        season = self._season()
        if season is None or self.visit:
            return None
        if not nothing_recorded(self._store, self.tree.tree, season, self._trees):
            return None
        return say("Nothing done to this tree this season, as far as you know?")


def _key(fruit: Fruit) -> Fruit:
    if fruit not in KEYS:
        raise BadInputError(
            say("At picking a damage is a sting or a deep entry; choose one, or not sure."), "marks"
        )
    return fruit


def _total_notes(pick: PickTold, scored: float) -> tuple[str, ...]:
    if pick.total is None or scored <= pick.total:
        return ()
    return (
        say(
            "{scored} fruit are scored, but only {total} were picked in all; correct one of them.",
            scored=number_in_words(scored),
            total=pick.total,
        ),
    )

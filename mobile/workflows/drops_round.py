"""On the drops round: damaged and undamaged drops by touch or number, per tree or for a garden; *none* counts.

Offers `DropsVisit` (one tree) and `drops_of_garden` (a bucket for the whole garden, which counts for no single tree).
"""

from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import has_bags
from mobile.workflows.job import JobDone, record_job
from mobile.workflows.label_clocks import label_warnings
from mobile.workflows.moments import NOW, Told
from mobile.workflows.tally import WHOLE, Amount, Part, number_in_words, part_notes
from mobile.workflows.tree_visit import AtTree, Idle, TreeVisit, scored_fields
from shared_models.language import say, say_many
from shared_models.records.tallies import Visit
from shared_models.season.scores import worst
from shared_models.vocabulary import DROPS_ROUND, Certainty, Fruit, Round, Source, Tallied
from shared_models.when import parse_when

DAMAGED_DROP, UNDAMAGED_DROP = (Fruit.DAMAGED, Source.DROP), (Fruit.CLEAN, Source.DROP)
TAKEN_OFF = (Fruit.DAMAGED, Source.REMOVED)


@dataclass(frozen=True, slots=True)
class DropsView:
    """What a screen shows: drops of this visit, damaged fruit taken off the tree, and label warnings.

    Drops for juice or animals are inside the pre-harvest interval too. `recorded` says whether this visit counts:
    drops, fruit taken off, or *none*.
    """

    at: AtTree
    part: Part
    damaged: float
    undamaged: float
    removed: float
    nothing_found: bool
    in_words: str
    has_bags: bool
    recorded: bool
    warnings: tuple[str, ...]


class DropsVisit(TreeVisit):
    """One tree of a drops round."""

    round = Round.DROPS

    def __init__(self, store: PhoneStore, tree: str, told: Told = NOW, *, visit: str | None = None) -> None:
        super().__init__(store, tree, told, visit=visit)
        self.part = WHOLE
        day = parse_when(self.at_tree.when).last
        self._warnings = label_warnings(store, self.tree.tree, day, self._trees)
        self._has_bags = has_bags(store, self._trees, self.tree, self.at_tree.when)

    def from_part(self, part: Part) -> DropsView:
        """Where on the tree the next fruit come from."""
        self.part = part
        return self.view

    def damaged(self, amount: Amount | None = None) -> DropsView:
        """One damaged drop, or many at once."""
        return self._found(Fruit.DAMAGED, Source.DROP, amount)

    def undamaged(self, amount: Amount | None = None) -> DropsView:
        """One undamaged drop, or many at once."""
        return self._found(Fruit.CLEAN, Source.DROP, amount)

    def removed(self, amount: Amount | None = None) -> DropsView:
        """One damaged fruit taken off the tree by hand, or many at once."""
        return self._found(Fruit.DAMAGED, Source.REMOVED, amount)

    def none(self) -> DropsView:
        """No drops: a count like any other."""
        if any(self._counts().values()):
            self._note = say("Drops are counted on this visit already; take them back first.")
        else:
            self._set(nothing_found=True)
        return self.view

    def not_none(self) -> DropsView:
        """Take back that there are no drops."""
        self._set(nothing_found=False)
        return self.view

    def take_back(self) -> DropsView:
        """−1: take back the newest mark made on this phone."""
        self.minus_one()
        return self.view

    def done(self, idle: Idle = Idle.WORKED) -> DropsView:
        """End the visit."""
        self.end(idle)
        return self.view

    @property
    def view(self) -> DropsView:
        """The tree as it is now."""
        record = self._record
        nothing_found = bool(record and record.nothing_found)
        counts = self._counts()
        return DropsView(
            at=self.at_tree,
            part=self.part,
            damaged=counts.get(DAMAGED_DROP, 0),
            undamaged=counts.get(UNDAMAGED_DROP, 0),
            removed=counts.get(TAKEN_OFF, 0),
            in_words=found_in_words(counts, nothing_found),
            nothing_found=nothing_found,
            has_bags=self._has_bags,
            recorded=nothing_found or any(counts.values()),
            warnings=(*part_notes(self._has_bags, self.part), *self._warnings),
        )

    def _found(self, fruit: Fruit, source: Source, amount: Amount | None) -> DropsView:
        fields = scored_fields([fruit], self.part, source=source.value)
        self.made = self._mark(fields) if amount is None else self._number(amount, fields)
        if source is Source.DROP and self._record and self._record.nothing_found:
            self._set(nothing_found=False)
        return self.view

    def _counts(self) -> dict[tuple[Fruit, Source], float]:
        return _counts(self._store, self.visit) if self.visit else {}


def found_on(store: PhoneStore, visit: Visit) -> str:
    """What a visit of a drops round found, in words."""
    return found_in_words(_counts(store, visit.rec), bool(visit.nothing_found))


def found_in_words(counts: dict[tuple[Fruit, Source], float], nothing_found: bool) -> str:
    """Numbers by fruit and source in words; *no drops* is a count too."""
    damaged, undamaged = counts.get(DAMAGED_DROP, 0), counts.get(UNDAMAGED_DROP, 0)
    removed = counts.get(TAKEN_OFF, 0)
    parts = [
        say_many(
            "{number} damaged drop", "{number} damaged drops", round(damaged), number=number_in_words(damaged)
        )
        if damaged
        else "",
        say_many(
            "{number} undamaged drop",
            "{number} undamaged drops",
            round(undamaged),
            number=number_in_words(undamaged),
        )
        if undamaged
        else "",
        say("{number} taken off the tree", number=number_in_words(removed)) if removed else "",
    ]
    told = ", ".join(part for part in parts if part)
    return told or (say("no drops") if nothing_found else say("nothing counted"))


def _counts(store: PhoneStore, visit: str) -> dict[tuple[Fruit, Source], float]:
    """What a visit found, by fruit and source; adjusted below none is none."""
    counts: dict[tuple[Fruit, Source], float] = {}
    for count in store.tallies(visit):
        fruit = worst(count.marks) if count.what == Tallied.FRUIT else None
        if fruit is not None:
            key = (fruit, Source(count.source or Source.DROP))
            counts[key] = counts.get(key, 0) + count.n
    return {key: max(0.0, n) for key, n in counts.items()}


def drops_of_garden(
    store: PhoneStore,
    garden: str,
    *,
    damaged: Amount | None = None,
    undamaged: Amount | None = None,
    took_fruit_off: bool = False,
    minutes: int | None = None,
    people: int | None = None,
    told: Told = NOW,
) -> JobDone:
    """Record a drops round of a whole garden. Its numbers are noted in words, since they belong to no single tree."""
    noted = [
        say("{number} damaged drops", number=_amount_in_words(damaged)) if damaged else "",
        say("{number} undamaged drops", number=_amount_in_words(undamaged)) if undamaged else "",
    ]
    note = ", ".join(part for part in noted if part) or None
    return record_job(
        store,
        DROPS_ROUND,
        garden=garden,
        removed_damaged=took_fruit_off,
        minutes=minutes,
        people=people,
        note=note,
        told=told,
    )


def _amount_in_words(amount: Amount) -> str:
    amount.fields()  # refuses what is no number
    if amount.n is None:
        return say(
            "from {low} to {high}",
            low=number_in_words(amount.low or 0),
            high=number_in_words(amount.high or 0),
        )
    number = number_in_words(amount.n)
    return say("about {number}", number=number) if amount.certainty is Certainty.ESTIMATED else number

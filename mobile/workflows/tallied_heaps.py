"""Which of a visit's fruit a difference belongs to: heaps that were tallied apart. Writes nothing.

A difference that meets no heap would change no number, so it takes the part and source of the fruit it corrects.
Offers `heap_of_mark` and `standing_after`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.places_on_tree import place_name
from mobile.workflows.tally import WHOLE, Part
from shared_models.errors import BadInputError
from shared_models.language import say, spoken, word
from shared_models.records.tallies import Visit
from shared_models.report_words import named
from shared_models.season.scores import worst
from shared_models.season_records import TallyCount
from shared_models.vocabulary import Bag, Cover, Fruit, Round, Source, Tallied


@dataclass(frozen=True, slots=True)
class Heap:
    """Fruit of one part of a tree and one source; a source that was not said is the usual one of the round."""

    part: Part
    source: Source | None


def heap_of_mark(
    store: PhoneStore, visit: Visit, fruit: Fruit, part: Part | None, source: Source | None
) -> Heap:
    """The heap that fruit with this mark lies in; part or source that was said is taken as it is.

    BadInputError names the heaps where there are several. Where none of the mark was tallied, all fruit is asked.
    """
    tallied = [count for count in store.tallies(visit.rec) if count.what == Tallied.FRUIT]
    fitting = [count for count in tallied if _fits(_heap(count), part, source)]
    heaps = _standing(count for count in fitting if worst(count.marks) is fruit) or _standing(fitting)
    if len(heaps) > 1:
        raise BadInputError(
            say(
                "This fruit was tallied apart on this visit: {heaps}. Say which of them the difference belongs to.",
                heaps="; ".join(sorted(_in_words(store, heap) for heap in heaps)),
            ),
            "part" if len({heap.part for heap in heaps}) > 1 else "source",
        )
    return heaps[0] if heaps else Heap(part or WHOLE, source)


def standing_after(visit: Visit, tallies: Iterable[TallyCount], fruit: Fruit, heap: Heap) -> float:
    """Fruit with a mark that a heap counts now, whatever was noted of the bags; below none where more was taken off."""
    return sum(
        count.n
        for count in tallies
        if count.what == Tallied.FRUIT
        and worst(count.marks) is fruit
        and _row(visit, _heap(count)) == _row(visit, heap)
    )


def _heap(count: TallyCount) -> Heap:
    part = Part(count.place, Cover(count.cover), Bag(count.bag) if count.bag else None)
    return Heap(part, Source(count.source) if count.source else None)


def _fits(heap: Heap, part: Part | None, source: Source | None) -> bool:
    return part in (None, heap.part) and source in (None, heap.source)


def _standing(counts: Iterable[TallyCount]) -> Sequence[Heap]:
    """Heaps in which something is left; a difference that went astray makes none."""
    left: dict[Heap, float] = {}
    for count in counts:
        heap = _heap(count)
        left[heap] = left.get(heap, 0) + count.n
    return [heap for heap, n in left.items() if n > 0]


def _row(visit: Visit, heap: Heap) -> tuple[str, Cover, Source]:
    usual = Source.DROP if visit.round is Round.DROPS else Source.PICKED
    return heap.part.place, heap.part.cover, heap.source or usual


_BAG_WORDS = {
    Bag.ON: word("bag on"),
    Bag.TAKEN_OFF: word("bag taken off"),
    Bag.LOST: word("bag lost or torn"),
}


def _in_words(store: PhoneStore, heap: Heap) -> str:
    part = heap.part
    name = place_name(store, part.place)
    place = [name] if name else []
    bag = [spoken(_BAG_WORDS[part.bag])] if part.bag else []
    return ", ".join([*place, named(part.cover), *bag, *([named(heap.source)] if heap.source else [])])

"""The parts of the picking screen: where the next fruit come from, the six keys' words, many fruit at once."""

from collections.abc import Callable
from functools import partial
from typing import Any

from mobile.screens.where import Where
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.picking import KEYS, PickingView, PickingVisit
from mobile.workflows.tally import (
    BAG_LOST,
    BAG_ON,
    BAG_TAKEN_OFF,
    BARE,
    WHOLE,
    Amount,
    Part,
    number_in_words,
)
from shared_models.errors import BadInputError
from shared_models.language import say, spoken, word
from shared_models.vocabulary import Bag, Cover, Fruit, Source

Touch = Callable[[PickingVisit], Any]
Toucher = Callable[[Touch], Any]  # records a touch

KEY_WORDS = {
    Fruit.CLEAN: (word("Clean"), "clean"),
    Fruit.STING: (word("Sting"), "sting"),
    Fruit.DEEP_ENTRY: (word("Deep entry"), "deep"),
    Fruit.OTHER_INSECT: (word("Other insect"), "insect"),
    Fruit.OTHER: (word("Other"), "other"),
    Fruit.NOT_SURE: (word("Not sure"), "unsure"),
}
COVERS = (
    (BAG_ON, word("Bag on")),
    (BAG_TAKEN_OFF, word("Bag taken off")),
    (BAG_LOST, word("Bag lost or torn")),
    (BARE, word("Bare, beside bags")),
    (WHOLE, word("Tree without bags")),
)
SHORT_COVERS = {
    BAG_ON: word("bag on"),
    BAG_TAKEN_OFF: word("bag taken off"),
    BAG_LOST: word("bag lost or torn"),
    BARE: word("bare"),
    WHOLE: word("no bags"),
}
SOURCES = (
    (Source.PICKED, word("Picked from the tree")),
    (Source.DROP, word("From the ground")),
    (Source.REMOVED, word("Taken off by hand before")),
)


def part_of(where: Where) -> Part:
    """The part that was chosen at this place, also before a restart."""
    draft = where.draft
    bag = Bag(draft["bag"]) if draft.get("bag") else None
    return Part(draft.get("place") or WHOLE.place, Cover(draft.get("cover") or WHOLE.cover), bag)


def source_of(where: Where) -> Source:
    """Where the next fruit come from."""
    return Source(where.draft.get("source") or Source.PICKED)


def as_draft(part: Part, source: Source) -> dict[str, Any]:
    """A part and a source as they are kept."""
    return {"place": part.place, "cover": part.cover, "bag": part.bag, "source": source}


def part_in_words(part: Part) -> str:
    """The cover of a part."""
    return next(spoken(words) for one, words in COVERS if (one.cover, one.bag) == (part.cover, part.bag))


def which_part(view: PickingView, grafted: bool) -> str:
    """The cover of the next fruit, or the question where it was not said on a tree with bags; its cultivar, if several."""
    if view.part_asked:
        return say("Bagged or bare?")
    name = view.part_name or (say("Whole tree") if grafted else "")
    if not name:
        return part_in_words(view.part)
    cover = spoken(SHORT_COVERS[Part(WHOLE.place, view.part.cover, view.part.bag)])
    return say("{cultivar}, {cover}", cultivar=name, cover=cover)


def source_in_words(source: Source) -> str:
    """Where fruit come from."""
    return next(spoken(words) for one, words in SOURCES if one is source)


def so_far(view: PickingView) -> str:
    """How many fruit, and what the last one carries, which *and also* adds to."""
    scored = say("{number} fruit scored", number=number_in_words(view.scored + view.not_sure))
    if not view.last_fruit:
        return scored
    marks = " + ".join(spoken(KEY_WORDS[mark][0]) for mark in view.last_fruit if mark in KEY_WORDS)
    return say("{scored} · the last: {marks}", scored=scored, marks=marks)


def sentences(view: PickingView) -> list[str]:
    """What needs reading: label intervals with their arithmetic, parts not said, totals that do not fit."""
    said = (view.at.note, *view.warnings, *(doubt.sentence for doubt in view.at.doubts))
    return [sentence for sentence in said if sentence]


def part_sheet(part: Part, grafts: tuple[tuple[str, str], ...], then: Callable[[Part], Any]) -> Sheet:
    """Which part of the tree: how its fruit was covered, and which cultivar where several are grafted on it."""
    places = [("whole", say("The whole tree")), *grafts]
    place = Choice(places, lambda _: None, part.place)

    def take(cover: Part) -> None:
        sheet.close()
        then(Part(place.chosen or WHOLE.place, cover.cover, cover.bag))

    several = [place] if len(grafts) > 1 else []
    covers = [Action(spoken(words), partial(take, one), bold=False, middle=False) for one, words in COVERS]
    sheet = Sheet(say("Which fruit comes next?"), *several, *covers)
    return sheet


def source_sheet(then: Callable[[Source], Any]) -> Sheet:
    """Where the next fruit come from."""

    def take(source: Source) -> None:
        sheet.close()
        then(source)

    sheet = Sheet(
        say("Where does it come from?"),
        *(Action(spoken(words), partial(take, one), bold=False, middle=False) for one, words in SOURCES),
    )
    return sheet


def many_sheet(touch: Toucher, part: str) -> Sheet:
    """Many alike at once: first which key, then how many."""
    sheet = Sheet(say("Many alike at once"))

    def ask(fruit: Fruit) -> None:
        sheet.paper.fill(*_how_many(fruit, sheet, touch))

    column = sheet.paper.column
    column.add_widget(small(part))
    for fruit in KEYS:
        words, sign = KEY_WORDS[fruit]
        column.add_widget(Action(spoken(words), partial(ask, fruit), sign=sign, middle=False, bold=False))
    return sheet


def _how_many(fruit: Fruit, sheet: Sheet, touch: Toucher) -> list[Any]:
    number, most = NumberField(say("How many?")), NumberField(say("Or from that many up to"))
    about = OnOff(say("About, not counted"), lambda _: None)

    def keep() -> None:
        amount = _amount(number, most, about.on)
        if amount is not None:
            sheet.close()
            touch(lambda visit: visit.number(fruit, amount))

    name = Words(spoken(KEY_WORDS[fruit][0]), bold=True)
    return [name, number, most, about, Primary(say("Add these fruit"), keep)]


def _amount(number: NumberField, most: NumberField, about: bool) -> Amount | None:
    try:
        low, high = number.number(), most.number()
        if low is None:
            number.error = say("Type how many there are.")
            return None
        amount = Amount.from_to(low, high) if high is not None else Amount.exactly(low)
        amount.fields()  # says where from lies above to
    except BadInputError as error:
        if error.field == "low":
            most.error = str(error)
        return None
    return Amount.about(low) if about and high is None else amount

"""The parts of the bagging screen: the box, numbers at once, and the lines that say how it stands with the tree."""

from collections.abc import Callable
from functools import partial
from typing import Any

from mobile.widgets.buttons import Action, Primary
from mobile.widgets.columns import Even
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import small
from mobile.workflows.bagging import BaggingView, BaggingVisit
from mobile.workflows.tally import Amount, number_in_words
from mobile.workflows.tree_at_hand import Shown
from shared_models.errors import BadInputError
from shared_models.language import say

Touch = Callable[[BaggingVisit], BaggingView]
Toucher = Callable[[Touch], Any]  # records a touch
IN_A_BOX = (25, 50, 100)  # offered at once; boxes are filled in such numbers (common practice)


def on_the_tree(view: BaggingView) -> str:
    """The numbers that a person looks for: today, and in all on this tree."""
    return say(
        "{today} today · {all} on the tree",
        today=number_in_words(view.today),
        all=number_in_words(view.on_tree),
    )


def by_the_box(view: BaggingView) -> str:
    """What the box tells; empty where it was not asked."""
    if view.by_box is None:
        return ""
    took, left = view.took or 0, view.left
    told = (
        say("Took {took}: {on} on, less what will be left.", took=took, on=view.by_box)
        if left is None
        else say("Took {took}, left {left}: {on} on.", took=took, left=left, on=view.by_box)
    )
    if not view.tallied:
        return told
    tallied = say(
        "{number} were counted one by one; the box goes before.", number=number_in_words(view.tallied)
    )
    return f"{told} {tallied}"


def about_the_tree(shown: Shown[BaggingView]) -> str:
    """Cultivar, plan and who puts the bags on."""
    tree = shown.view.at.tree
    who = "" if shown.by_me else say("by {who}", who=shown.who)
    return " · ".join(part for part in (*tree.cultivars, shown.plan, who) if part)


def sentences(view: BaggingView) -> list[str]:
    """What needs reading."""
    said = (view.at.note, *(doubt.sentence for doubt in view.at.doubts))
    return [sentence for sentence in said if sentence]


def beside_the_numbers(shown: Shown[BaggingView]) -> tuple[object, ...]:
    """What is said apart from numbers and hours, to see whether that changed."""
    view = shown.view
    begun = view.at.visit is not None
    question = view.question if begun else None
    return (shown.plan, shown.who, view.at.when, begun, view.asked, view.answer, question)


def took_sheet(touch: Toucher, view: BaggingView) -> Sheet:
    """Bags taken from the box: a usual number by one touch, or typed; a further box adds."""
    first = view.took is None
    field = NumberField(say("Or another number"))

    def take(number: int) -> None:
        sheet.close()
        touch(lambda visit: visit.took_more(number))

    def keep() -> None:
        number = _whole(field)
        if number is not None:
            take(number)

    title = say("How many did you take from the box?") if first else say("How many more did you take?")
    sheet = Sheet(
        title,
        *([] if first else [small(say("{number} were taken before; this adds to them.", number=view.took))]),
        Even(*(Action(str(number), partial(take, number)) for number in IN_A_BOX)),
        field,
        Primary(say("Keep this number"), keep),
    )
    return sheet


def left_sheet(touch: Toucher, view: BaggingView) -> Sheet:
    """Bags left over in the box; those put on are what was taken less these."""
    field = NumberField(say("How many are left?"), "" if view.left is None else str(view.left))

    def leave(number: int) -> None:
        sheet.close()
        touch(lambda visit: visit.left(number))

    def keep() -> None:
        number = _whole(field)
        if number is not None:
            leave(number)

    sheet = Sheet(
        say("How many are left over?"),
        *(
            [small(say("Say first how many you took; until then this changes nothing."))]
            if view.took is None
            else []
        ),
        Action(say("None left"), lambda: leave(0)),
        field,
        Primary(say("Keep this number"), keep),
    )
    return sheet


def number_sheet(touch: Toucher) -> Sheet:
    """Bags put on, as a number."""
    field = NumberField(say("How many bags more?"))

    def keep() -> None:
        number = _whole(field)
        if number is not None:
            sheet.close()
            touch(lambda visit: visit.number(Amount.exactly(number)))

    sheet = Sheet(say("Type a number"), field, Primary(say("Add this number"), keep))
    return sheet


def so_many(number: int) -> Touch:
    """A touch that adds so many bags: one is a mark, more are a number."""
    return BaggingVisit.bag if number == 1 else lambda visit: visit.number(Amount.exactly(number))


def _whole(field: NumberField) -> int | None:
    try:
        number = field.whole()
    except BadInputError:
        return None  # the field says it
    if number is None:
        field.error = say("Type a number; none is 0.")
    return number

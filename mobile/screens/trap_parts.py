"""The parts of the trap screen: earlier visits, how it is counted, why it was not counted."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice
from mobile.widgets.columns import Card
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import small
from mobile.workflows.trap_log import PastVisit, found_in_words
from mobile.workflows.trap_round import TrapAtHand, TrapView
from shared_models.errors import BadInputError
from shared_models.language import say, say_many
from shared_models.vocabulary import CountMode, TrapState

Touch = Callable[[TrapAtHand], TrapView]
Toucher = Callable[[Touch], Any]  # records a touch


def said_of(view: TrapView) -> str:
    """What is recorded of a trap now, in a sentence."""
    what = "" if view.state is None else _STATES[view.state](view)
    return say("Trap {trap}: {what}.", trap=view.label, what=what or say("what was changed is noted"))


_STATES = {
    TrapState.COUNTED: lambda view: (
        say_many("{count} moth", "{count} moths", view.number) if view.number else say("none")
    ),
    TrapState.NOT_VISITED: lambda view: say("not visited"),
    TrapState.LOST: lambda view: say("lost"),
    TrapState.FLOODED: lambda view: say("flooded"),
    TrapState.UNREADABLE: lambda view: say("can't be read"),
}


def past_visits(view: TrapView) -> list[Widget]:
    """The last visits, newest first."""
    if not view.last:
        return [small(say("Not counted before."))]
    return [Card(*(small(_past(visit)) for visit in view.last[:3]))]


def _past(visit: PastVisit) -> str:
    return say("{when}: {found} · {who}", when=visit.in_words, found=found_in_words(visit), who=visit.who)


def how_it_is_counted(touch: Toucher, view: TrapView) -> Widget:
    """New since the last visit, or all on the liner."""
    options = [
        (CountMode.NEW, say("New since the last visit")),
        (CountMode.ON_LINER, say("All on the liner now")),
    ]
    return Choice(options, lambda mode: touch(lambda hand: hand.count_as(mode)), view.mode)


def beside_the_number(view: TrapView) -> TrapView:
    """What is said of a trap apart from numbers, to see whether that changed."""
    silent = ("",) * len(view.notes)
    return replace(
        view, visit=None, when="", number=None, state=None, catch=None, per_trap_week=None, notes=silent
    )


def sentences(view: TrapView) -> list[str]:
    """What needs reading."""
    said = (view.question, view.overlaps, *view.notes, *(doubt.sentence for doubt in view.doubts))
    return [sentence for sentence in said if sentence]


def sums(view: TrapView) -> list[str]:
    """What is new where something is taken off, and the rate."""
    lines = []
    if view.mode is CountMode.ON_LINER and view.catch is not None and view.on_liner_before:
        lines.append(
            say(
                "{now} on the liner, {before} before: {new} new.",
                now=view.number,
                before=view.on_liner_before,
                new=view.catch,
            )
        )
    if view.per_trap_week is not None:
        lines.append(say("{rate} moths a week at this trap.", rate=f"{view.per_trap_week:.1f}"))
    return lines


def other_outcomes(touch: Toucher) -> Sheet:
    """Why there is no count."""
    reasons = [
        (TrapState.NOT_VISITED, say("Not visited")),
        (TrapState.LOST, say("The trap is lost")),
        (TrapState.FLOODED, say("Flooded")),
        (TrapState.UNREADABLE, say("Can't be read")),
    ]
    sheet = Sheet(say("Why was it not counted?"))
    sheet.paper.column.add_widget(small(say("None of these is a count of none.")))
    for state, words in reasons:
        sheet.paper.column.add_widget(Action(words, partial(_say_why, touch, sheet, state), bold=False))
    return sheet


def _say_why(touch: Toucher, sheet: Sheet, state: TrapState) -> None:
    sheet.close()
    touch(lambda hand: hand.not_counted(state))


def type_a_number(touch: Toucher) -> Sheet:
    """A number at once, where there are many."""
    field = NumberField(say("How many moths?"))

    def keep() -> None:
        try:
            moths = field.whole()
        except BadInputError:
            return  # the field says it
        if moths is None:
            field.error = say("Type how many moths there are; none is 0.")
            return
        sheet.close()
        touch(lambda hand: hand.number(moths))

    sheet = Sheet(say("Type a number"), field, Primary(say("Keep this number"), keep))
    return sheet

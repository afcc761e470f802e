"""The parts of one record's page: its versions, and the sheets that ask what it should have been."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.columns import Card
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.asking import Store
from mobile.workflows.record_page import Asked, FieldAsked, RecordPage, TallyLine
from shared_models.errors import BadInputError
from shared_models.language import capital, say

Fix = Callable[[Store, str], Any]  # what is written, with the reason


def versions_read(page: RecordPage) -> list[Widget]:
    """Every version, the newest first."""
    return [
        Card(
            Words(version.heading, bold=True),
            *(small(change) for change in version.changes),
            *([small(say("Why: {reason}", reason=version.reason))] if version.reason else []),
        )
        for version in reversed(page.versions)
    ]


def fields_sheet(fields: Sequence[FieldAsked], then: Callable[[dict[str, str | bool]], Any]) -> Sheet:
    """What stands there, to be typed over; `then` is told all of it."""
    asked = {one.field: _field(one) for one in fields}

    def take() -> None:
        typed = {
            name: widget.on if isinstance(widget, OnOff) else widget.text for name, widget in asked.items()
        }
        sheet.close()
        then(typed)

    sheet = Sheet(say("What should it say?"), *asked.values(), Primary(say("This is right"), take))
    return sheet


def _field(one: FieldAsked) -> Any:
    name = capital(one.name)
    if one.asked is Asked.YES_NO:
        return OnOff(name, lambda _: None, one.now == "yes")
    return (TextField if one.asked is Asked.TEXT else NumberField)(name, one.now)


def difference_sheet(tallies: Sequence[TallyLine], then: Callable[[Any, int], Any]) -> Sheet:
    """Of what, and how many more or fewer; a tally of others is never set."""
    which = Choice([(one.fruit, one.in_words) for one in tallies], lambda _: None)
    which.chosen = tallies[0].fruit
    by = NumberField(say("How many more, or fewer with a − before it?"))

    def take() -> None:
        try:
            difference = _whole(by)
        except BadInputError:
            return  # the field says it
        sheet.close()
        then(which.chosen, difference)

    sheet = Sheet(say("Correct the count by a difference"), which, by, Primary(say("By so many"), take))
    return sheet


def _whole(field: NumberField) -> int:
    number = field.whole()
    if not number:
        field.error = say("A difference of none changes nothing; give how many more or less.")
        raise BadInputError(field.error)
    return number


def row_sign_sheet(sign: str) -> Sheet:
    """The sign for a sprayed row, as it is to be written off or printed."""
    first, *rest = sign.splitlines()
    note = small(
        say("Write it off large, or print a picture of this screen, and hang it where the row begins.")
    )
    sheet = Sheet(first, *map(Words, rest), note, Action(say("Close"), lambda: sheet.close()))
    return sheet


def one_of_sheet(title: str, options: Sequence[tuple[str, str]], then: Callable[[str], Any]) -> Sheet:
    """One of several by one touch."""
    sheet = Sheet(title)

    def take(value: str) -> None:
        sheet.close()
        then(value)

    for value, words in options:
        sheet.paper.column.add_widget(Action(words, partial(take, value), bold=False, middle=False))
    return sheet

"""A number at once, where there are too many for one touch each: counted, roughly, or from one number to another."""

from collections.abc import Callable, Sequence
from typing import Any

from mobile.widgets.buttons import Primary
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.workflows.drops_at_hand import amount_typed
from mobile.workflows.tally import Amount
from shared_models.errors import BadInputError
from shared_models.language import say


class AmountFields:
    """Three widgets, and the amount that stands in them."""

    def __init__(self, question: str) -> None:
        self._number = NumberField(question)
        self._up_to = NumberField(say("Up to, if you only know from and to"))
        self._roughly = OnOff(say("Only estimated"), lambda _: None)
        self.widgets = (self._number, self._up_to, self._roughly)

    def amount(self, needed: bool = True) -> Amount | None:
        """The amount; BadInputError, also shown below, where it cannot be taken or is wanting though needed."""
        typed = amount_typed(self._number.number(), self._up_to.number(), self._roughly.on)
        try:
            if typed is not None:
                typed.fields()
        except BadInputError as error:
            self._up_to.error = str(error)
            raise
        if typed is None and needed:
            self._number.error = say("Type how many.")
            raise BadInputError(self._number.error)
        return typed


def amount_sheet(title: str, of: Sequence[tuple[Any, str]], then: Callable[[Any, Amount], Any]) -> Sheet:
    """Of which of several things, and how many; `then` is told both."""
    which, fields = Choice(of, lambda _: None, of[0][0]), AmountFields(say("How many?"))

    def keep() -> None:
        try:
            amount = fields.amount()
        except BadInputError:
            return  # the field says it
        if amount is not None:
            sheet.close()
            then(which.chosen, amount)

    sheet = Sheet(title, which, *fields.widgets, Primary(say("Keep this number"), keep))
    return sheet

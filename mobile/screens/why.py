"""Why something is corrected: a usual reason by one touch, or typed; it stays beside both versions."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from mobile.widgets.buttons import Action, Primary
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import small
from shared_models.language import say


def why_sheet(then: Callable[[str], Any], usual: Sequence[str] = ()) -> Sheet:
    """Ask for the reason; `then` is told it."""
    offered = [*usual, say("Typed wrongly"), say("Remembered later")]
    own = TextField(say("Or in your own words"))

    def take(reason: str) -> None:
        sheet.close()
        then(reason)

    def typed() -> None:
        if own.text:
            take(own.text)
        else:
            own.error = say("Say why; the reason stays beside both versions.")

    sheet = Sheet(
        say("Why is it corrected?"),
        small(say("What was said before stays readable.")),
        *(Action(reason, partial(take, reason), bold=False) for reason in offered),
        own,
        Primary(say("This is why"), typed),
    )
    return sheet

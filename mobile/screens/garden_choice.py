"""Which garden something belongs to: asked where there are several, taken where there is one. Knows no record."""

from collections.abc import Callable, Sequence
from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.choices import Choice
from mobile.widgets.words import Words
from shared_models.language import say
from shared_models.records.gardens import Garden


def garden_question(
    gardens: Sequence[Garden], chosen: str | None, then: Callable[[str], Any]
) -> tuple[list[Widget], str | None]:
    """What to show, and the garden that is taken until another is touched."""
    taken = chosen or (gardens[0].rec if gardens else None)
    if len(gardens) < 2:
        return [], taken
    options = [(garden.rec, garden.name) for garden in gardens]
    return [Words(say("In which garden?")), Choice(options, then, taken)], taken

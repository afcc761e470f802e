"""The question whether trees are left untreated on purpose, with its two answers. Silence answers nothing."""

from collections.abc import Callable
from typing import Any

from mobile.widgets.buttons import Action
from mobile.widgets.columns import Card
from mobile.widgets.words import Words
from shared_models.language import say


def untreated_card(sentence: str, yes: Callable[[], Any], no: Callable[[], Any]) -> Card:
    """The sentence; *yes* declares, *no* records nothing."""
    return Card(
        Words(sentence),
        Action(say("Nothing, and it stays so"), yes, bold=False),
        Action(say("Something was done, or I don't know"), no, bold=False),
    )

"""Cards for what two people did without knowing of each other: both values, who said them and when, and the touch that
decides. Shown in Sharing and on the page of what they are about.
"""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Card
from mobile.widgets.words import Words, small
from mobile.workflows.apart import Apart, CountApart, EditApart, said_by
from mobile.workflows.asking import Work
from mobile.workflows.deciding import (
    decide,
    decide_both_count,
    decide_one_counts,
    take_back,
    take_back_count,
)
from shared_models.language import say

_SHORT = 24  # characters of a value that still fit on a button


def apart_cards(screen: Screen, found: Apart) -> list[Widget]:
    """A card for each thing to decide; nothing where there is none."""
    return [
        *(_edit(screen, one) for one in found.edits),
        *(_count(screen, one) for one in found.counts),
        *([small(found.more)] if found.more else []),
    ]


def _edit(screen: Screen, one: EditApart) -> Card:
    stands, *others = one.told.values
    told = [
        Words(say("“{value}”", value=stands.words)),
        small(say("{said}. This holds now.", said=said_by(stands.who, stands.when))),
    ]
    for other in others:
        told += [Words(say("“{value}”", value=other.words)), small(said_by(other.who, other.when))]
    keep = say("Keep “{value}”", value=stands.words) if _fits(stands.words) else say("Keep what holds now")
    return Card(
        Words(one.told.what, bold=True),
        small(say("Set on two phones without knowing of each other.")),
        *told,
        Action(keep, partial(_decide, screen, one, 0), sign="done"),
        *(
            Action(_switch(other.words, len(others)), partial(_decide, screen, one, place), bold=False)
            for place, other in enumerate(others, start=1)
        ),
        warning=True,
    )


def _switch(words: str, how_many: int) -> str:
    if _fits(words) or how_many > 1:
        return say("Switch to “{value}”", value=words if _fits(words) else f"{words[: _SHORT - 1]}…")
    return say("Switch to the other")


def _fits(words: str) -> bool:
    return len(words) <= _SHORT


def _decide(screen: Screen, one: EditApart, place: int) -> None:
    value = one.told.values[place].words
    screen.ask(
        lambda store: decide(store, one.edits, place),
        lambda done: _said(
            screen, say("It is “{value}” now.", value=value), lambda store: take_back(store, done)
        ),
    )


def _count(screen: Screen, one: CountApart) -> Card:
    first, second = one.told.first, one.told.second
    return Card(
        Words(one.told.what, bold=True),
        Words(say("First: {found}", found=first.words)),
        small(said_by(first.who, first.when)),
        Words(say("Second: {found}", found=second.words)),
        small(said_by(second.who, second.when)),
        small(one.told.until_then),
        Action(say("Both count"), partial(_both, screen, one), bold=False),
        Action(say("Only the first counts"), partial(_only, screen, one, first.visit), bold=False),
        Action(say("Only the second counts"), partial(_only, screen, one, second.visit), bold=False),
        warning=True,
    )


def _both(screen: Screen, one: CountApart) -> None:
    screen.ask(
        lambda store: decide_both_count(store, one.double),
        lambda done: _said(screen, say("Both count."), lambda store: take_back_count(store, done)),
    )


def _only(screen: Screen, one: CountApart, kept: str) -> None:
    sentence = say("One counts; the other is taken back and stays in the history.")
    screen.ask(
        lambda store: decide_one_counts(store, one.double, kept),
        lambda done: _said(screen, sentence, lambda store: take_back_count(store, done)),
    )


def _said(screen: Screen, sentence: str, undo: Work[Any]) -> None:
    screen.recorded(sentence, undo)
    screen.again()

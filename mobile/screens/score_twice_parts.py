"""The words and keys of scoring twice. Never what the other one said."""

from collections.abc import Callable
from functools import partial
from typing import Any

from mobile.screens.pick_parts import KEY_WORDS
from mobile.widgets.columns import window_is_low
from mobile.widgets.pad import Key
from mobile.workflows.picking import KEYS
from mobile.workflows.two_scorers import Turn, TwoView
from shared_models.language import say, say_many, spoken
from shared_models.vocabulary import Fruit

SCORING = (Turn.FIRST, Turn.SECOND)


def tree_of(view: TwoView) -> str:
    """The tree."""
    return say("Tree {tree}", tree=view.tree.label)


def which_fruit(view: TwoView) -> str:
    """Who scores, and which fruit comes next."""
    if view.of is None:
        return say("{who}: fruit {number}", who=view.first, number=view.scored + 1)
    if view.complete:
        return say_many("{who}: all {count} scored", "{who}: all {count} scored", view.of, who=view.second)
    return say("{who}: fruit {number} of {all}", who=view.second, number=view.scored + 1, all=view.of)


def last_fruit(view: TwoView) -> str:
    """What the newest fruit of this turn was given."""
    if view.last is None:
        return say("None scored yet")
    return say("The last: {mark}", mark=spoken(KEY_WORDS[view.last][0]))


def how_far(view: TwoView) -> str:
    """What was just recorded; not which mark, since the bar stays when the phone is handed over."""
    who = view.first if view.turn is Turn.FIRST else view.second
    return say_many("{who}: {count} fruit.", "{who}: {count} fruit.", view.scored, who=who)


def what_next(view: TwoView) -> str:
    """What leads on from this turn."""
    if view.turn is Turn.CHOOSE:
        return say("Begin with this helper")
    if view.turn is Turn.FIRST:
        return say("Hand it over")
    return say("Begin") if view.turn is Turn.HANDED_OVER else say("Compare")


def six_keys(score: Callable[[Fruit], Any]) -> list[Key]:
    """The keys of picking, in the same places, without their counts."""
    return [
        Key(
            spoken(KEY_WORDS[fruit][0]),
            partial(score, fruit),
            sign=KEY_WORDS[fruit][1],
            sign_side=22 if window_is_low() else 0,
        )
        for fruit in KEYS
    ]

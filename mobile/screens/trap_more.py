"""What is said of a trap beside the count: liner, lure, males and females, and whether a later count began here."""

from collections.abc import Callable
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.trap_parts import Toucher
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.choices import OnOff
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.sheet import Sheet
from mobile.workflows.trap_round import TrapAtHand, TrapView
from shared_models.errors import BadInputError
from shared_models.language import say


def what_was_changed(touch: Toucher, view: TrapView, lay: Callable[[Sheet], Any]) -> list[Widget]:
    """Switches; none of them is on by itself."""
    lure = OnOff(say("New lure"), lambda _: touch(lambda hand: hand.new_lure()), on=view.new_lure is not None)
    if view.new_lure is not None:  # what was put in is undone, not switched off
        lure.disabled = True
    which = [] if view.new_lure is None else [Row(lure_in_words(view), lambda: lay(lure_sheet(touch, view)))]
    sexes = Row(sexes_in_words(view), lambda: lay(sexes_sheet(touch, view)), sign="moth")
    return [
        OnOff(say("Moths taken off"), lambda yes: touch(lambda hand: hand.emptied(yes)), on=view.emptied),
        OnOff(say("New liner"), lambda yes: touch(lambda hand: hand.new_liner(yes)), on=view.new_liner),
        lure,
        *which,
        *([sexes] if view.number else []),
    ]


def lure_in_words(view: TrapView) -> str:
    """Which lure was put in."""
    if view.lure_load_mg is None:
        return say("Lure: {lure}", lure=view.new_lure)
    return say("Lure: {lure}, {load} mg", lure=view.new_lure, load=f"{view.lure_load_mg:g}")


def lure_sheet(touch: Toucher, view: TrapView) -> Sheet:
    """Type and load of the lure, as its wrapping says."""
    kind = TextField(say("Which lure? As its wrapping says"), view.new_lure or "")
    load = NumberField(
        say("Load in mg, if it is given"), "" if view.lure_load_mg is None else f"{view.lure_load_mg:g}"
    )

    def keep() -> None:
        try:
            milligrams = load.number()
        except BadInputError:
            return  # the field says it
        sheet.close()
        touch(lambda hand: hand.new_lure(kind.text or None, milligrams))

    sheet = Sheet(say("The new lure"), kind, load, Primary(say("Keep this lure"), keep))
    return sheet


def sexes_in_words(view: TrapView) -> str:
    """Males and females, or that they were not told apart."""
    if view.males is None and view.females is None:
        return say("Males and females: not told apart")
    return say("Males {males}, females {females}", males=view.males or 0, females=view.females or 0)


def sexes_sheet(touch: Toucher, view: TrapView) -> Sheet:
    """How many of the moths were males, how many females."""
    males = NumberField(say("Males"), "" if view.males is None else str(view.males))
    females = NumberField(say("Females"), "" if view.females is None else str(view.females))

    def keep() -> None:
        try:
            counted = males.whole() or 0, females.whole() or 0
        except BadInputError:
            return  # the field says it
        sheet.close()
        touch(lambda hand: hand.sexed(*counted))

    sheet = Sheet(say("How many of them?"), males, females, Primary(say("Keep these numbers"), keep))
    return sheet


def overlapping_count(touch: Toucher, view: TrapView) -> list[Widget]:
    """The answer to whether a later count, entered before, goes back to this visit only."""
    if not view.overlaps:
        return []
    sentence = say("Yes, it counted only what came after this visit")
    return [Action(sentence, lambda: touch(TrapAtHand.later_count_is_since_this_one), bold=False)]

"""Weighing what was picked, crate by crate: a sheet that any part of a tree is weighed on. Records nothing by itself."""

from mobile.screens.pick_parts import Toucher
from mobile.widgets.buttons import Primary
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.picking import PickingView
from shared_models.errors import BadInputError
from shared_models.language import say


def weighed_in_words(view: PickingView) -> str:
    """What the crates of the part at hand weigh so far."""
    weight = view.pick.weight_kg
    return "" if weight is None else say("{weight} kg so far", weight=f"{weight:g}")


def weigh_sheet(touch: Toucher, view: PickingView, part: str) -> Sheet:
    """One more crate of the part at hand, and once how many fruit make a kilogram."""
    known = view.pick.fruit_per_kg
    crate = NumberField(say("How many kg, without the crate?"))
    per_kg = NumberField(say("Fruit in a kilogram, if counted"), "" if known is None else f"{known:g}")

    def keep() -> None:
        try:
            weight, fruit = crate.number(), per_kg.number()
        except BadInputError:
            return  # the field says it
        if weight is None or weight <= 0:
            crate.error = say("Say how many kilograms the scales show, more than none.")
            return
        sheet.close()
        touch(lambda visit: visit.weigh_more(weight, fruit))

    so_far = weighed_in_words(view)
    sheet = Sheet(
        say("Weigh"),
        small(part),
        *([Words(so_far, bold=True)] if so_far else []),
        crate,
        per_kg,
        small(say("The crates add up. With fruit in a kilogram the weight becomes a number of fruit.")),
        Primary(say("Add this weight"), keep),
    )
    return sheet

"""What the places Bags and Picking show while no tree stands: why, and the way to add trees."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action
from mobile.widgets.words import Words, heading
from shared_models.language import say


def trees_missing(screen: Screen, why: str) -> None:
    """Fill a screen with the way to the first trees."""
    screen.reading.fill(heading(say("No tree stands yet")), Words(why))
    screen.thumb.fill(Action(say("Add trees"), lambda: screen.go("row_of_trees"), sign="more"))

"""The way to the invented seasons, for whoever wants to see a season before recording one. Knows no record."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Row
from shared_models.language import say


def look_around_row(screen: Screen) -> Row:
    """A row that opens them; they lie apart from what the person records, and the top line leads back."""
    return Row(
        say("Look around with the invented season"),
        screen.frame.errands.look_around,
        second=say("Three invented gardens, apart from your own records; leave them with one touch."),
        sign="season",
    )

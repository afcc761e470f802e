"""A spring with temperatures, traps and stages, as a phone made it: what the page of timing is about."""

from __future__ import annotations

from datetime import date

from shared_models.entries import Entry
from tests.shared_models.timing.gardens import TimedGarden, seattle_of

DAY = date(2014, 6, 10)


def timed_season() -> list[Entry]:
    """Days up to June with a gap, a clash and a second source; biofix; bloom of two cultivars; a night of frost."""
    garden = TimedGarden(name="Hill with a long name by the river (invented)")
    days = {day: told for day, told in seattle_of(2014).items() if date(2014, 2, 1) <= day <= DAY}
    garden.weather(days, without=[date(2014, 3, 3), date(2014, 3, 4)], origin="Station by the river")
    garden.day(date(2014, 4, 20), -5, 12)
    garden.day(date(2014, 5, 9), 8, 20, origin="Station by the river")
    trap = garden.trap()
    garden.counts(trap, date(2014, 4, 20), 4, 0, 0, 1, 0, 1, 2)
    tree = garden.makes("tree", label="1", garden=garden.garden.rec, species="MABSD").rec
    garden.makes("stage", tree=tree, bbch="60", when="2014-04-18")
    for cultivar, bloom in (("Early Red", ("60", 20)), ("Late Gold", ("60", 26))):
        garden.makes(
            "stage", garden=garden.garden.rec, cultivar=cultivar, bbch=bloom[0], when=f"2014-04-{bloom[1]}"
        )
    return garden.entries

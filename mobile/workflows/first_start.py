"""First start: who you are, a garden, trees, a trap; each step done in under a minute and skippable.

Offers `begin`, `name_garden`, `steps`; the steps themselves are `trees.add_tree`, `trees.add_row` and
`traps.hang_trap`, helpers are `people.add_person`.
"""

from dataclasses import dataclass
from enum import StrEnum

from mobile.storage.facts import Identity
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.people import add_person, name_of
from mobile.workflows.traps import hang_trap
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.gardens import Garden, Tree
from shared_models.records.traps import Trap
from shared_models.seasons import Hemisphere

__all__ = [
    "GardenNamed",
    "Step",
    "StepLine",
    "add_person",
    "begin",
    "gardens",
    "hang_trap",
    "my_name_and_zone",
    "name_garden",
    "steps",
]


class Step(StrEnum):
    """The lines of the first screen."""

    GARDEN = "garden"
    TREES = "trees"
    TRAP = "trap"


@dataclass(frozen=True, slots=True)
class StepLine:
    """One line of the first screen: what it asks, and whether it was done."""

    step: Step
    sentence: str
    done: bool


@dataclass(frozen=True, slots=True)
class GardenNamed:
    """A garden that was made, and what seems not to fit."""

    garden: str
    doubts: tuple[Doubt, ...]


def begin(store: PhoneStore, person_name: str, zone: str) -> Identity:
    """Make this phone somebody's: their name or initials, and the IANA time zone of the gardens."""
    return store.begin(person_name.strip(), zone)


def my_name_and_zone(store: PhoneStore) -> str:
    """Whose phone this is, and the time zone that it records in; empty before the first start."""
    mine = store.identity
    return say("{name}, time zone {zone}", name=name_of(store, mine.person), zone=mine.zone) if mine else ""


def name_garden(
    store: PhoneStore,
    name: str,
    hemisphere: Hemisphere | None,
    *,
    lat: float | None = None,
    lon: float | None = None,
    elevation_m: float | None = None,
    zone: str | None = None,
    unmanaged_neighbours: bool | None = None,
    note: str | None = None,
) -> GardenNamed:
    """Make a garden. *North or south* has to be said, since the season follows from it; a position may be left out."""
    if hemisphere is None:
        raise BadInputError(
            say("Say whether this garden lies in the north or in the south; its seasons follow from that."),
            "hemisphere",
        )
    if (lat is None) != (lon is None):
        raise BadInputError(
            say("A position needs latitude and longitude; give both, or leave both out."),
            "lon" if lon is None else "lat",
        )
    fields = said(
        name=name.strip(),
        hemisphere=hemisphere,
        zone=zone or (store.identity.zone if store.identity else None),
        lat=lat,
        lon=lon,
        elevation_m=elevation_m,
        unmanaged_neighbours=unmanaged_neighbours,
        note=note,
    )
    garden = store.record(Garden.kind, fields)
    made = store.get(Garden, garden)
    return GardenNamed(garden, tuple(made.doubts()) if made else ())


def gardens(store: PhoneStore) -> list[Garden]:
    """The gardens in use, by name."""
    return sorted(
        (garden for garden in store.all(Garden) if not garden.retired),
        key=lambda garden: (garden.name.casefold(), garden.rec),
    )


def steps(store: PhoneStore) -> list[StepLine]:
    """What the first screen offers, in order."""
    return [
        StepLine(Step.GARDEN, say("Name a garden."), bool(gardens(store))),
        StepLine(Step.TREES, say("Add trees, one by one or 12 in a row."), bool(store.all(Tree))),
        StepLine(Step.TRAP, say("Hang a trap."), bool(store.all(Trap))),
    ]

"""The walk of a drops round: the trees of a garden in walking order, with what was found on the day. Writes nothing."""

from dataclasses import dataclass
from datetime import date

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drops_round import found_on
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import NOW, Told, today
from mobile.workflows.tree_list import TreeList
from mobile.workflows.usual_garden import usual_garden
from shared_models.records.gardens import Garden
from shared_models.records.tallies import Visit
from shared_models.vocabulary import Round
from shared_models.when import parse_when


@dataclass(frozen=True, slots=True)
class WalkLine:
    """One tree of the walk; `found` says what was found on the day, empty where nobody was there."""

    tree: str
    label: str
    found: str


@dataclass(frozen=True, slots=True)
class DropsWalk:
    """The trees of one garden in walking order, and all gardens to choose from."""

    garden: str | None
    gardens: tuple[Garden, ...]
    lines: tuple[WalkLine, ...]


def drops_walk(store: PhoneStore, garden: str | None = None, told: Told = NOW) -> DropsWalk:
    """The walk in a garden, the usual one where none is named, on the day that is told."""
    known = tuple(gardens(store))
    here = garden or usual_garden(store)
    trees = TreeList(store)
    found: dict[str, list[str]] = {}
    for visit in _visits(store, _day(store, told)):
        found.setdefault(trees.one(visit.tree), []).append(found_on(store, visit))
    row = trees.standing(here) if here else []
    return DropsWalk(
        here,
        known,
        tuple(WalkLine(line.tree, line.label, "; ".join(found.get(line.tree, ()))) for line in row),
    )


def _visits(store: PhoneStore, day: date | None) -> list[Visit]:
    if day is None:
        return []
    return [visit for visit in store.few.of_days(Visit, day, day) if visit.round is Round.DROPS]


def _day(store: PhoneStore, told: Told) -> date | None:
    return parse_when(told.when).day if told.when else today(store)

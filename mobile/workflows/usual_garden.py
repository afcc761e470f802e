"""Which garden is meant where nobody says it: the one that was last recorded in, else the one with the most trees."""

from collections.abc import Iterable

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.tree_list import TreeList
from shared_models.records.fields import Happening


def usual_garden(store: PhoneStore, last: Iterable[Happening] = ()) -> str | None:
    """The garden of the newest of these records, else the one with the most trees; None where there is no garden."""
    known = [garden.rec for garden in gardens(store)]
    newest = max(last, key=lambda one: (one.moment.order, one.rec), default=None)
    garden = getattr(newest, "garden", None)
    if garden in known:
        return str(garden)
    trees = TreeList(store)
    return max(known, key=lambda one: len(trees.standing(one)), default=None)

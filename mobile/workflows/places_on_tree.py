"""What a part of a tree is called: a graft by its cultivar, a side by its name. Writes nothing."""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.tally import WHOLE
from shared_models.records.gardens import Graft
from shared_models.report_words import named


def place_name(store: PhoneStore, place: str) -> str:
    """The name of a part; empty for the whole tree."""
    if place == WHOLE.place:
        return ""
    graft = store.get(Graft, place)
    return graft.cultivar if graft else named(place)

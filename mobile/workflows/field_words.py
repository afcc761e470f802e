"""Values of fields in words as this phone knows them: names of trees, traps, gardens and people. Writes nothing.

What fields are called, and values that name no other record, are `shared_models.field_words`.
"""

from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.people import names, somebody
from mobile.workflows.places_on_tree import place_name
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.tree_list import TreeList
from mobile.workflows.tree_words import in_words
from shared_models.field_words import plain_value
from shared_models.language import say, spoken
from shared_models.method_words import METHOD_NAMES
from shared_models.records.gardens import Garden
from shared_models.records.traps import Trap
from shared_models.report_words import named


class ValueWords:
    """Puts values of fields into words; reads names of trees, traps, gardens and people once."""

    def __init__(self, store: PhoneStore) -> None:
        self._store, self._trees = store, TreeList(store)
        self._row = self._trees.all()
        self._traps = {trap.rec: trap.label for trap in store.all(Trap)}
        self._gardens = {garden.rec: garden.name for garden in store.all(Garden)}
        self._names = names(store)

    def of(self, field: str, value: Any) -> str:
        """One value of a field; a dash where nothing was said."""
        if value is None or value == []:
            return "–"
        if field in ("when", "ended"):
            return when_in_words(str(value))
        named = self._named(field, value)
        return named if named is not None else plain_value(value)

    def _named(self, field: str, value: Any) -> str | None:
        """The name of a record that a value stands for."""
        unknown = say("not known here")
        if field == "tree":
            return self._trees.label(str(value)) or unknown
        if field == "trees":
            return in_words(self._row, [self._trees.one(tree) for tree in value]) or unknown
        if field == "trap":
            return self._traps.get(str(value), unknown)
        if field == "garden":
            return self._gardens.get(str(value), unknown)
        if field == "place":
            return place_name(self._store, str(value)) or say("the whole tree")
        if field == "cover":
            return named(str(value))
        if field in ("done_by", "second"):
            return self._names.get(str(value), somebody())
        return spoken(METHOD_NAMES[value]) if field == "method" and value in METHOD_NAMES else None

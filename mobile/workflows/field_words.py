"""What the fields of records are called, and their values in words: for reading and correcting them. Writes nothing.

A field that is not named here is shown by its own name, and a value by its own text: nothing recorded is hidden.
"""

import re
from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.people import names, somebody
from mobile.workflows.places_on_tree import place_name
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.tree_list import TreeList
from mobile.workflows.tree_words import in_words
from shared_models.language import say, spoken, word
from shared_models.method_words import METHOD_NAMES
from shared_models.records.gardens import Garden
from shared_models.records.traps import Trap
from shared_models.report_words import named

FIELD_WORDS = {
    "when": word("when"),
    "ended": word("ended"),
    "done_by": word("done by"),
    "season": word("season"),
    "tree": word("tree"),
    "trees": word("trees"),
    "trap": word("trap"),
    "garden": word("garden"),
    "moths": word("moths"),
    "state": word("state"),
    "mode": word("counted as"),
    "emptied": word("moths taken off"),
    "liner_changed": word("new liner"),
    "lure_type": word("new lure"),
    "males": word("males"),
    "females": word("females"),
    "round": word("round"),
    "took": word("bags taken"),
    "left": word("bags left over"),
    "material": word("bags made of"),
    "fruit_size_mm": word("fruit size, mm"),
    "still_on": word("bags still on"),
    "fell_empty": word("bags fallen empty"),
    "fell_with_fruit": word("bags fallen with fruit"),
    "torn": word("bags torn"),
    "pause_minutes": word("pauses, minutes"),
    "nothing_found": word("none found"),
    "ladder": word("ladder used"),
    "entered_at": word("went in"),
    "larva_found": word("larva found"),
    "cut_open": word("cut open"),
    "cause": word("came from"),
    "place": word("part of the tree"),
    "cover": word("bagged or bare"),
    "second": word("scored second by"),
    "first_marks": word("marks of the first"),
    "second_marks": word("marks of the second"),
    "cut": word("fruit cut open"),
    "found": word("with an entry inside"),
    "total": word("picked in all"),
    "weight_kg": word("weight, kg"),
    "fruit_per_kg": word("fruit per kg"),
    "taken_by_others": word("taken by others"),
    "all_scored": word("all scored"),
    "method": word("method"),
    "minutes": word("minutes"),
    "people": word("people"),
    "cost": word("cost"),
    "partly": word("partly done"),
    "rain_after": word("rain after it"),
    "removed_damaged": word("damaged fruit taken off"),
    "products": word("products"),
    "water_l": word("water, litres"),
    "treated_area_m2": word("treated area, m²"),
    "target": word("against what"),
    "bbch": word("growth stage, BBCH"),
    "wind_m_s": word("wind, m/s"),
    "temperature_c": word("temperature, °C"),
    "operator": word("operator"),
    "certificate": word("certificate"),
    "note": word("note"),
    "text": word("text"),
    "lowest": word("lowest"),
    "highest": word("highest"),
    "unit": word("unit"),
    "habit": word("thermometer read"),
    "dusk": word("at sunset"),
    "cultivar": word("cultivar"),
    "methods": word("methods"),
    "left_untreated": word("left untreated"),
    "previous": word("the visit before"),
    "pick": word("crop"),
    "about": word("about"),
    "label": word("label"),
    "species": word("species"),
    "size": word("size"),
    "year_planted": word("year planted"),
    "order": word("place in walking order"),
}
# Values that are names of a few states.
_VALUE_WORDS = {
    "counted": word("counted"),
    "not_visited": word("not visited"),
    "lost": word("lost"),
    "flooded": word("flooded"),
    "unreadable": word("can't be read"),
    "on_liner": word("all on the liner"),
    "new": word("new since the last visit"),
    "bagging": word("bagging"),
    "drops": word("drops"),
    "picking": word("picking"),
    "yes": word("yes"),
    "no": word("no"),
    "not_said": word("not said"),
    "not_given": word("not given"),
    "until_dry": word("until dry"),
    "clean": word("clean"),
    "sting": word("sting"),
    "deep_entry": word("deep entry"),
    "other_insect": word("other insect"),
    "other": word("other"),
    "not_sure": word("not sure"),
    "damaged": word("damaged"),
}

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def field_name(field: str) -> str:
    """What a field is called."""
    return spoken(FIELD_WORDS[field]) if field in FIELD_WORDS else field.replace("_", " ")


def value_word(value: str) -> str:
    """The word for a state that is recorded by its name; the name itself where there is none."""
    return spoken(_VALUE_WORDS[value]) if value in _VALUE_WORDS else value


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
        return named if named is not None else _plain(value)

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


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return value_word("yes" if value else "no")
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(
            f"{field_name(str(name))} {_plain(one)}" if name != "name" else str(one)
            for name, one in value.items()
        )
    if isinstance(value, list | tuple):
        return "; ".join(_plain(one) for one in value)
    text = str(value.value if isinstance(value, StrEnum) else value)
    return say("another record") if _ID.fullmatch(text) else value_word(text)

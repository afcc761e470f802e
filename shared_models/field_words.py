"""What the fields of records are called, and plain values in words: for reading, correcting and comparing them. Words only.

A field that is not named here is shown by its own name, and a value by its own text: nothing recorded is hidden.
"""

import re
from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from shared_models.entries import DELETED
from shared_models.language import say, spoken, word

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
    "name": word("name"),
    "retired": word("no longer offered"),
    DELETED: word("taken back"),
    "removed_on": word("taken out on"),
    "form": word("form"),
    "bearing_from": word("bears since the year"),
    "grafted_on": word("grafted on"),
    "hemisphere": word("half of the earth"),
    "zone": word("time zone"),
    "lat": word("latitude"),
    "lon": word("longitude"),
    "elevation_m": word("height above the sea, m"),
    "unmanaged_neighbours": word("unmanaged trees beside it"),
    "from_day": word("hangs since"),
    "to_day": word("hung until"),
    "height_m": word("height, m"),
    "block": word("trial block"),
    "key": word("short name"),
    "reach": word("protects"),
    "in_mix": word("part of what is compared"),
    "least_times": word("least times"),
    "unit_cost": word("cost of one"),
    "a": word("first of the two"),
    "b": word("second of the two"),
    "with_method": word("compared with and without"),
    "rule": word("rule for the start of flight"),
    "biofix": word("start of flight"),
    "cutoff": word("warmth above the upper threshold"),
    "lower_c": word("lower threshold, °C"),
    "upper_c": word("upper threshold, °C"),
    "source": word("thermometer"),
    "second_source": word("second thermometer"),
    "fill": word("what fills missing days"),
    "value": word("figure"),
    "off": word("switched off"),
    "instead": word("counted instead"),
}
# Values that are names of a few states.
VALUE_WORDS = {
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
    return spoken(VALUE_WORDS[value]) if value in VALUE_WORDS else value


def plain_value(value: Any) -> str:
    """A value in words as far as it can be told without looking anything up; a dash where nothing was said."""
    if value is None or value == []:
        return "–"
    if isinstance(value, bool):
        return value_word("yes" if value else "no")
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(
            f"{field_name(str(name))} {plain_value(one)}" if name != "name" else str(one)
            for name, one in value.items()
        )
    if isinstance(value, list | tuple):
        return "; ".join(plain_value(one) for one in value)
    text = str(value.value if isinstance(value, StrEnum) else value)
    return say("another record") if _ID.fullmatch(text) else value_word(text)

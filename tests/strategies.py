"""Hypothesis strategies: entries, and valid fields of every record kind. Knows what a kind holds, not what it means.

A new kind needs a case in `FIELDS`; a test names the kinds and the fields that have none.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from shared_models.calculations.biofix import Rule
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.entries import Entry
from shared_models.records.kinds import KINDS
from shared_models.seasons import Hemisphere
from shared_models.stamps import EARLIEST_MS, written
from shared_models.vocabulary import (
    AllScored,
    Bag,
    Certainty,
    CountMode,
    Cover,
    Fill,
    Fruit,
    Reach,
    Round,
    Source,
    Species,
    Tallied,
    TrapState,
    TreeSize,
)
from tests.values import (
    choices,
    counts,
    days,
    fruit_marks,
    identifiers,
    instants,
    json_values,
    labels,
    method_keys,
    mixes,
    moments,
    numbers,
    of_a_fruit,
    places,
    season_keys,
    stamps,
    texts,
    years,
)

EXAMPLES = int(os.environ.get("POMEWARD_EXAMPLES", "300"))
"""Cases for each law; `POMEWARD_EXAMPLES=2000 python3 tests/run.py --only tests` looks longer."""

law = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow])


# ---------------------------------------------------------------- the fields of every kind
@dataclass(frozen=True)
class FieldsOf:
    """What a kind must hold, and what it may hold besides."""

    must: dict[str, SearchStrategy[Any]]
    may: dict[str, SearchStrategy[Any]]

    def __call__(self) -> SearchStrategy[dict[str, Any]]:
        return st.fixed_dictionaries(self.must, optional=self.may)


def maybe(strategy: SearchStrategy[Any]) -> SearchStrategy[Any]:
    """A value, or the word that there is none."""
    return st.none() | strategy


short = texts(120)
yes_or_no = st.booleans()
scores = st.lists(choices(Fruit), min_size=1, max_size=8)
positions = {"lat": maybe(numbers(-90, 90)), "lon": maybe(numbers(-180, 180))}
happened: dict[str, SearchStrategy[Any]] = {
    "done_by": maybe(identifiers()),
    "season": maybe(season_keys),
    "reason": maybe(short),
}
on_the_tree: dict[str, SearchStrategy[Any]] = {
    "what": choices(Tallied),
    "place": places,
    "cover": choices(Cover),
    "bag": maybe(choices(Bag)),
    "source": maybe(choices(Source)),
    "marks": maybe(fruit_marks),
}
products = st.fixed_dictionaries(
    {"name": texts(120, least=1)},
    optional={
        "registration": maybe(short),
        "active_substance": maybe(short),
        "rate": maybe(short),
        "amount": maybe(numbers(0, 1e6)),
        "amount_unit": maybe(short),
        "pre_harvest_days": maybe(st.integers(0, 366) | st.just("not_given")),
        "re_entry_hours": maybe(numbers(0, 2400) | st.sampled_from(["until_dry", "not_given"])),
        "most_applications": maybe(st.integers(1, 100)),
        "least_interval_days": maybe(st.integers(0, 366)),
        "not_while_in_flower": maybe(yes_or_no),
    },
)


def _without(fields: dict[str, SearchStrategy[Any]], *names: str) -> dict[str, SearchStrategy[Any]]:
    return {name: strategy for name, strategy in fields.items() if name not in names}


FIELDS: dict[str, FieldsOf] = {
    "person": FieldsOf({"name": labels}, {"retired": yes_or_no}),
    "garden": FieldsOf(
        {"name": labels, "hemisphere": choices(Hemisphere)},
        {
            **positions,
            "zone": maybe(st.sampled_from(["Europe/Rome", "Pacific/Auckland", "UTC", "Asia/Kolkata"])),
            "elevation_m": maybe(numbers(-500, 6000)),
            "unmanaged_neighbours": maybe(yes_or_no),
            "note": maybe(texts(300)),
            "retired": yes_or_no,
        },
    ),
    "tree": FieldsOf(
        {"label": labels, "garden": identifiers()},
        {
            **positions,
            "species": maybe(choices(Species)),
            "size": maybe(choices(TreeSize)),
            "form": maybe(short),
            "year_planted": maybe(years),
            "bearing_from": maybe(years),
            "order": maybe(numbers(-1e6, 1e6)),
            "removed_on": maybe(days),
            "retired": yes_or_no,
        },
    ),
    "graft": FieldsOf(
        {"tree": identifiers(), "cultivar": labels}, {"grafted_on": maybe(days), "retired": yes_or_no}
    ),
    "same_tree": FieldsOf({"a": identifiers(), "b": identifiers()}, {}),
    "left_out": FieldsOf(
        {"when": moments, "tree": identifiers(), "season": season_keys, "reason": short},
        _without(happened, "season", "reason"),
    ),
    "bag_check": FieldsOf(
        {"when": moments, "tree": identifiers()},
        {
            **happened,
            "place": places,
            **{name: maybe(counts) for name in ("still_on", "fell_empty", "fell_with_fruit", "torn")},
            "note": maybe(short),
        },
    ),
    "plan_line": FieldsOf(
        {"when": moments, "tree": identifiers(), "season": season_keys},
        {
            **_without(happened, "season"),
            "place": places,
            "methods": maybe(mixes),
            "left_untreated": yes_or_no,
            "block": maybe(short),
        },
    ),
    "note": FieldsOf({"when": moments, "text": texts(300)}, {**happened, "about": maybe(identifiers())}),
    "method": FieldsOf(
        {"key": method_keys, "name": labels, "reach": choices(Reach)},
        {"in_mix": yes_or_no, "least_times": st.integers(1, 100), "unit_cost": maybe(numbers(0, 1e6))},
    ),
    "planned_contrast": FieldsOf(
        {"when": moments, "season": season_keys},
        {
            **_without(happened, "season"),
            "a": maybe(mixes),
            "b": maybe(mixes),
            "with_method": maybe(method_keys),
        },
    ),
    "trap": FieldsOf(
        {"label": labels, "garden": identifiers()},
        {"form": maybe(short), "order": maybe(numbers(-1e6, 1e6)), "retired": yes_or_no},
    ),
    "placement": FieldsOf(
        {"trap": identifiers(), "garden": identifiers(), "from_day": days},
        {"to_day": maybe(days), "height_m": maybe(numbers(0, 30)), "place": maybe(short)},
    ),
    "trap_visit": FieldsOf(
        {"when": moments, "trap": identifiers(), "state": choices(TrapState)},
        {
            **happened,
            "moths": maybe(counts),
            "mode": choices(CountMode),
            "emptied": yes_or_no,
            "liner_changed": yes_or_no,
            "lure_type": maybe(short),
            "lure_load_mg": maybe(numbers(0, 1000)),
            "males": maybe(counts),
            "females": maybe(counts),
            "other_insects": maybe(texts(300)),
            "previous": maybe(identifiers()),
            "instead": maybe(identifiers()),
            "ended": maybe(moments),
        },
    ),
    "visit": FieldsOf(
        {"when": moments, "round": choices(Round), "tree": identifiers()},
        {
            **happened,
            "ended": maybe(moments),
            "pause_minutes": maybe(st.integers(0, 1440)),
            "pick": maybe(identifiers()),
            "job": maybe(identifiers()),
            "took": maybe(counts),
            "left": maybe(counts),
            "material": maybe(short),
            "fruit_size_mm": maybe(numbers(1, 150)),
            "nothing_found": yes_or_no,
            "ladder": maybe(yes_or_no),
        },
    ),
    "mark": FieldsOf({"visit": identifiers()}, {**on_the_tree, **of_a_fruit}),
    "number": FieldsOf(
        {"visit": identifiers()},
        {
            **on_the_tree,
            "n": maybe(numbers(0, 1e6)),
            "low": maybe(numbers(0, 1e6)),
            "high": maybe(numbers(0, 1e6)),
            "certainty": choices(Certainty),
        },
    ),
    "adjustment": FieldsOf(
        {"visit": identifiers(), "n": st.integers(-100_000, 100_000), "reason": short}, on_the_tree
    ),
    "pick": FieldsOf(
        {"when": moments, "tree": identifiers()},
        {
            **happened,
            "place": places,
            "cover": choices(Cover),
            "total": maybe(counts),
            "weight_kg": maybe(numbers(0, 100_000)),
            "fruit_per_kg": maybe(numbers(0.1, 1000)),
            "total_certainty": choices(Certainty),
            "all_scored": choices(AllScored),
            "taken_by_others": maybe(counts),
        },
    ),
    "double_score": FieldsOf(
        {"when": moments, "second": identifiers(), "first_marks": scores, "second_marks": scores},
        {**happened, "tree": maybe(identifiers()), "garden": maybe(identifiers())},
    ),
    "cut_sample": FieldsOf(
        {"when": moments, "tree": identifiers(), "cut": counts, "found": counts}, happened
    ),
    "job": FieldsOf(
        {"when": moments, "method": method_keys},
        {
            **happened,
            "trees": st.lists(identifiers(), max_size=4),
            "garden": maybe(identifiers()),
            "place": places,
            "ended": maybe(moments),
            "people": maybe(st.integers(1, 100)),
            "minutes": maybe(counts),
            "cost": maybe(numbers(0, 1e6)),
            "partly": yes_or_no,
            "rain_after": maybe(yes_or_no),
            "removed_damaged": yes_or_no,
            "products": st.lists(products, max_size=3),
            "water_l": maybe(numbers(0, 1e6)),
            "treated_area_m2": maybe(numbers(0, 1e6)),
            "target": maybe(st.from_regex(r"[A-Z0-9]{5,6}", fullmatch=True)),
            "bbch": maybe(st.from_regex(r"[0-9][0-9]", fullmatch=True)),
            "wind_m_s": maybe(numbers(0, 60)),
            "temperature_c": maybe(numbers(-40, 60)),
            "operator": maybe(short),
            "certificate": maybe(short),
            "note": maybe(short),
        },
    ),
    "day_temperature": FieldsOf(
        {
            "when": days,
            "garden": identifiers(),
            "lowest": numbers(-80, 150),
            "highest": numbers(-80, 150),
            "unit": st.sampled_from(["C", "F"]),
        },
        {
            **happened,
            "dusk": maybe(numbers(-80, 150)),
            "habit": maybe(st.sampled_from(["morning", "evening", "midnight"])),
            "origin": maybe(short),
        },
    ),
    "season_setting": FieldsOf(
        {"season": season_keys},
        {
            "garden": maybe(identifiers()),
            "rule": maybe(choices(Rule)),
            "moths": maybe(st.integers(1, 100)),
            "biofix": maybe(moments),
            "method": maybe(choices(Method)),
            "cutoff": maybe(choices(Cutoff)),
            "lower_c": maybe(numbers(-20, 60)),
            "upper_c": maybe(numbers(-20, 60)),
            "source": maybe(short),
            "second_source": maybe(short),
            "fill": maybe(choices(Fill)),
        },
    ),
    "stage": FieldsOf(
        {"when": moments, "bbch": st.from_regex(r"[0-9][0-9]", fullmatch=True)},
        {**happened, "tree": maybe(identifiers()), "garden": maybe(identifiers()), "cultivar": maybe(labels)},
    ),
    "due_rule": FieldsOf(
        {"key": st.from_regex(r"[a-z][a-z_]{0,39}", fullmatch=True)},
        {"value": maybe(numbers(0, 5000)), "off": yes_or_no},
    ),
    "notice_choice": FieldsOf({"about": identifiers()}, {"flight": yes_or_no}),
}


def fields_of(kind: str) -> SearchStrategy[dict[str, Any]]:
    """Valid fields of an entry that makes a record of this kind."""
    return FIELDS[kind]()


# ---------------------------------------------------------------- entries
@st.composite
def entries(
    draw: st.DrawFn,
    kind: str | None = None,
    rec: str | None = None,
    fields: SearchStrategy[dict[str, Any]] | None = None,
) -> Entry:
    """One entry: of a kind and with valid fields unless told, making its record unless `rec` names another."""
    chosen = kind or draw(st.sampled_from(sorted(KINDS)))
    entry_id = draw(identifiers())
    return Entry(
        id=entry_id,
        rec=rec or entry_id,
        kind=chosen,
        v=1,
        f=draw(fields if fields is not None else fields_of(chosen)),
        prev=draw(st.none() | st.dictionaries(st.sampled_from(["n", "when"]), identifiers(), max_size=2)),
        entered=draw(instants()),
        tz=draw(st.sampled_from(["Europe/Rome", "Pacific/Auckland", "Etc/GMT+5"])),
        by=draw(identifiers()),
        device=draw(identifiers()),
        stamp=draw(stamps()),
    )


def free_entries() -> SearchStrategy[Entry]:
    """Entries of kinds that nobody knows yet, with whatever fields the envelope allows."""
    names = st.from_regex(r"_?[a-z][a-z0-9_]{0,20}", fullmatch=True)
    return entries(kind="not_yet_known", fields=st.dictionaries(names, json_values, min_size=1, max_size=6))


def _numbered(number: int) -> str:
    return f"{number:08x}-0000-7000-8000-000000000000"


def _of_history(number: int, rec: int, phone: int, stamp: int, fields: dict[str, Any]) -> Entry:
    return Entry(
        id=_numbered(number),
        rec=_numbered(rec),
        kind="note",
        v=1,
        f=fields,
        entered=f"2026-06-0{phone + 1}T08:00:00+02:00",
        tz=("Europe/Rome", "UTC", "Asia/Kolkata")[phone],
        by=_numbered(100 + phone),
        device=_numbered(200 + phone),
        stamp=written((EARLIEST_MS << 16) + stamp),
    )


@st.composite
def histories(draw: st.DrawFn) -> list[Entry]:
    """Entries of a few records by a few phones: several on each record, ties of stamps and undos among them."""
    fields = st.dictionaries(
        st.sampled_from(["a", "b", "c", "_del"]), st.booleans() | st.integers(0, 9), min_size=1, max_size=3
    )
    lines = st.tuples(st.integers(0, 2), st.integers(0, 2), st.integers(0, 5), fields)
    drawn = draw(st.lists(lines, min_size=1, max_size=12))
    numbers_of_entries = draw(st.permutations(range(len(drawn))))
    return [_of_history(number, *line) for number, line in zip(numbers_of_entries, drawn, strict=True)]

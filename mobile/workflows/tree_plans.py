"""What is said about whole trees for a season: planned, left untreated, left out; contrasts and own methods.

Offers `plan_tree`, `declare_untreated`, `nothing_recorded`, `leave_out`, `plan_contrast`, `own_method`.
Each is taken back with `history.undo`.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from unicodedata import normalize

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import fresh_id, said
from mobile.workflows.moments import NOW, Told, season_or_ask
from mobile.workflows.tree_list import TreeList
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt, Record
from shared_models.records.gardens import LeftOut, PlanLine
from shared_models.records.methods import OwnMethod, PlannedContrast
from shared_models.season.mixes import Treatments
from shared_models.season.orchard import Orchard
from shared_models.vocabulary import METHODS, Reach


@dataclass(frozen=True, slots=True)
class Declared:
    """Records that were made, and sentences to show; none of them blocks."""

    records: tuple[str, ...]
    notes: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def plan_tree(
    store: PhoneStore,
    tree: str,
    methods: Sequence[str],
    *,
    place: str = "whole",
    block: str | None = None,
    season: str | None = None,
    told: Told = NOW,
) -> Declared:
    """Plan a method mix for a tree or part of it in a season."""
    fields = said(tree=tree, methods=list(methods), place=place, block=block)
    return _declare(store, PlanLine, [(tree, fields)], season, told)


def declare_untreated(
    store: PhoneStore, trees: Sequence[str], *, season: str | None = None, told: Told = NOW
) -> Declared:
    """Declare trees left untreated on purpose; those that were declared already stay as they are."""
    listed = TreeList(store)
    lines = store.few.naming(PlanLine, {one for tree in trees for one in listed.records_of(tree)})
    known = {(listed.one(line.tree), line.season) for line in lines if line.left_untreated}
    new = [
        tree for tree in trees if (listed.one(tree), _season(store, listed, tree, season, told)) not in known
    ]
    said_of = [(tree, said(tree=tree, left_untreated=True)) for tree in new]
    declared = _declare(store, PlanLine, said_of, season, told)
    return Declared(declared.records, tuple(_treated_notes(store, new, season, told)), declared.doubts)


def nothing_recorded(store: PhoneStore, tree: str, season: str, trees: TreeList | None = None) -> bool:
    """Whether nothing is recorded of a tree in a season: no job, no bag, no declaration. The list spares reading it."""
    listed = trees or TreeList(store)
    line = listed.line(tree)
    records = store.few.of_tree_in_season(listed.records_of(tree), line.garden, season)
    return not Treatments(records, Orchard(records)).recorded(line.tree)


def leave_out(
    store: PhoneStore, tree: str, reason: str, *, season: str | None = None, told: Told = NOW
) -> Declared:
    """Leave a tree out of a season's comparison, with the reason; its records stay."""
    if not reason.strip():
        raise BadInputError(say("Say why this tree is left out; the report shows the reason."), "reason")
    return _declare(store, LeftOut, [(tree, said(tree=tree, reason=reason.strip()))], season, told)


def plan_contrast(
    store: PhoneStore,
    season: str,
    *,
    a: Sequence[str] | None = None,
    b: Sequence[str] | None = None,
    with_method: str | None = None,
    told: Told = NOW,
) -> Declared:
    """Name a comparison before scoring: mix `a` with mix `b`, or trees with a method with those without it."""
    fields = said(a=a, b=b, with_method=with_method) | told.fields(store) | {"season": season}
    contrast = store.record(PlannedContrast.kind, fields)
    return Declared((contrast,), (), _doubts(store, PlannedContrast, [contrast]))


def own_method(
    store: PhoneStore,
    name: str,
    reach: Reach,
    *,
    key: str | None = None,
    in_mix: bool = True,
    least_times: int | None = None,
    unit_cost: float | None = None,
) -> str:
    """Name a method of the group's own, or change what "counts as" having had a known one; returns its key."""
    known = _known_method(store, name, key)
    rec = known.rec if known else fresh_id(store)
    key = key or (known.key if known else _key_of(name, rec))
    fields = said(
        key=key,
        name=name.strip(),
        reach=reach,
        in_mix=in_mix,
        least_times=least_times,
        unit_cost=unit_cost,
    )
    store.record(OwnMethod.kind, fields, rec)
    return key


def _known_method(store: PhoneStore, name: str, key: str | None) -> OwnMethod | None:
    """The group's own method of that key, or of that name where no key is given; of several, the first made."""
    wanted = name.strip().casefold()
    methods = store.all(OwnMethod)
    if key is not None:
        return next((method for method in methods if method.key == key), None)
    own = [method for method in methods if method.key not in METHODS]
    return next((method for method in own if method.name.strip().casefold() == wanted), None)


def _declare(
    store: PhoneStore,
    kind: type[Record],
    said_of: Sequence[tuple[str, dict[str, object]]],
    season: str | None,
    told: Told,
) -> Declared:
    listed = TreeList(store)
    drafts = [
        Draft(
            kind.kind,
            told.fields(store) | fields | {"season": _season(store, listed, tree, season, told)},
            fresh_id(store),
        )
        for tree, fields in said_of
    ]
    records = store.record_all(drafts)
    return Declared(tuple(records), (), _doubts(store, kind, records))


def _season(store: PhoneStore, listed: TreeList, tree: str, season: str | None, told: Told) -> str:
    return season_or_ask(store, listed.line(tree).garden, told.when, season or told.season)


def _treated_notes(store: PhoneStore, trees: Sequence[str], season: str | None, told: Told) -> list[str]:
    listed = TreeList(store)
    notes = []
    for key in sorted({_season(store, listed, tree, season, told) for tree in trees}):
        records = store.season(key)
        orchard = Orchard(records)
        treatments = Treatments(records, orchard)
        for tree in (tree for tree in trees if orchard.one(tree) in orchard.trees):
            mix = treatments.mix(orchard.one(tree), "whole", "none")
            if mix is not None and not mix.untreated:
                notes.append(
                    say(
                        "Something is recorded that was done to tree {label} in {season}; "
                        "it counts as treated as long as that stands.",
                        label=listed.line(tree).label,
                        season=key,
                    )
                )
    return notes


def _doubts(store: PhoneStore, kind: type[Record], records: Sequence[str]) -> tuple[Doubt, ...]:
    found = [store.get(kind, rec) for rec in records]
    return tuple(doubt for record in found if record for doubt in record.doubts())


def _key_of(name: str, rec: str) -> str:
    """A key that two phones never make for two methods: the name's plain letters, and the end of the record's id.

    A name in another script leaves no plain letters, and so says nothing that could tell two methods apart.

    >>> _key_of("Öl im März", "01995a1c-0000-7000-8000-0000003f9a2c")
    'ol_im_marz_3f9a2c'
    """
    letters = normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^a-z0-9]+", "_", letters).strip("_")
    stem = plain if plain[:1].isalpha() else f"own_{plain}"
    return f"{stem[:_LONGEST_STEM].strip('_')}_{rec[-_OF_THE_ID:]}"


_OF_THE_ID = 6  # hexadecimal digits, all of them chance: two of a group's methods agree once in 16 million
_LONGEST_STEM = 40 - 1 - _OF_THE_ID  # a method's key has 40 letters at most

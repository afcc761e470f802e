"""Trees and traps as they are looked up and kept: rows of a list with search, and the page of one. Writes nothing.

Offers `orchard_trees`, `tree_page`, `orchard_traps` and `trap_page`; what changes is in `trees` and `traps`.
"""

from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.apart import Apart, apart
from mobile.workflows.first_start import gardens
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.traps import trap_known, traps_in_walking_order
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.language import say, spoken, word
from shared_models.records.gardens import Garden, Graft, PlanLine, Tree
from shared_models.records.traps import Placement, Trap
from shared_models.vocabulary import Species, TreeSize

SPECIES_WORDS = {
    Species.APPLE: word("Apple"),
    Species.PEAR: word("Pear"),
    Species.CRAB_APPLE: word("Crab apple"),
    Species.QUINCE: word("Quince"),
    Species.ASIAN_PEAR: word("Asian pear"),
}
SIZE_WORDS = {
    TreeSize.DWARF: word("Dwarf"),
    TreeSize.SEMI_DWARF: word("Semi-dwarf"),
    TreeSize.FULL_SIZE: word("Full-size"),
}


@dataclass(frozen=True, slots=True)
class ThingRow:
    """One tree or trap of the list; a row without an id heads those of a `garden`, or those that are gone."""

    rec: str
    text: str
    second: str = ""
    garden: str = ""


@dataclass(frozen=True, slots=True)
class GraftLine:
    """One cultivar on a tree."""

    graft: str
    cultivar: str


@dataclass(frozen=True, slots=True)
class TreePage:
    """One tree: its line, its facts in words, what is told of its label, its grafts, and its neighbours in order.

    `apart` is what two people said of it, its grafts or its plans without knowing of each other.
    """

    line: TreeLine
    record: Tree
    about: str
    notes: tuple[str, ...]
    grafts: tuple[GraftLine, ...]
    after: TreeLine | None
    apart: Apart


@dataclass(frozen=True, slots=True)
class TrapPage:
    """One trap: where it hangs now and since when, the traps to walk to, and all gardens."""

    record: Trap
    about: str
    place: str
    order: tuple[str, ...]
    labels: dict[str, str]
    gardens: tuple[Garden, ...]
    apart: Apart


def orchard_trees(store: PhoneStore, search: str = "") -> list[ThingRow]:
    """Trees in walking order under their gardens, those that are gone last; only what a search finds, best first."""
    trees = TreeList(store)
    found = trees.search(search) if search.strip() else trees.all()
    standing = [line for line in found if line.standing]
    gone = [_tree_row(line) for line in found if not line.standing]
    rows = [_tree_row(line) for line in standing] if search.strip() else _under_gardens(standing)
    return [*rows, *([ThingRow("", say("No longer there"))] if gone else []), *gone]


def tree_page(store: PhoneStore, tree: str) -> TreePage:
    """The page of one tree; BadInputError where this phone has none of that id."""
    trees = TreeList(store)
    line = trees.line(tree)
    record = store.get(Tree, line.tree)
    assert record is not None  # the line was made from it
    row = trees.standing(line.garden)
    at = next((place for place, one in enumerate(row) if one.tree == line.tree), 0)
    records = trees.records_of(line.tree)
    grafts = [one for one in store.few.naming(Graft, records) if one.tree in records and not one.retired]
    return TreePage(
        line,
        record,
        _facts(record, line),
        tuple(_notes(trees, line)),
        tuple(GraftLine(one.rec, one.cultivar) for one in grafts),
        row[at - 1] if at else None,
        apart(store, {*records, *(one.rec for one in _belonging(store, records))}),
    )


def orchard_traps(store: PhoneStore) -> list[ThingRow]:
    """Traps in walking order under their gardens, those that were taken down last."""
    lines = traps_in_walking_order(store)
    rows, garden = list[ThingRow](), ""
    for line in lines:
        if line.garden != garden:
            garden = line.garden
            rows.append(_head(garden, line.garden_name))
        rows.append(ThingRow(line.trap, say("Trap {trap}", trap=line.label), line.form or ""))
    down = sorted((trap for trap in store.all(Trap) if trap.retired), key=lambda trap: (trap.label, trap.rec))
    rows += [ThingRow("", say("Taken down"))] if down else []
    return [*rows, *(ThingRow(trap.rec, say("Trap {trap}", trap=trap.label)) for trap in down)]


def trap_page(store: PhoneStore, trap: str) -> TrapPage:
    """The page of one trap; BadInputError where this phone has none of that id."""
    record = trap_known(store, trap)
    known = {garden.rec: garden.name for garden in store.all(Garden)}
    here = [one for one in store.all(Placement) if one.trap == trap]
    now = max(here, key=lambda one: (one.to_day is None, one.from_day, one.rec), default=None)
    lines = traps_in_walking_order(store, record.garden)
    hangs = [known.get(record.garden, ""), record.form or "", *(_placed(now) if now else [])]
    return TrapPage(
        record,
        " · ".join(part for part in hangs if part),
        now.place or "" if now else "",
        tuple(line.trap for line in lines),
        {line.trap: line.label for line in lines},
        tuple(gardens(store)),
        apart(store, {trap, *(one.rec for one in here)}),
    )


def _belonging(store: PhoneStore, trees: frozenset[str]) -> list[Graft | PlanLine]:
    """The grafts and plans of a tree."""
    found: list[Graft | PlanLine] = [*store.few.naming(Graft, trees)]
    found += store.few.naming(PlanLine, trees)
    return [one for one in found if one.tree in trees]


def _under_gardens(standing: list[TreeLine]) -> list[ThingRow]:
    rows, garden = list[ThingRow](), ""
    for line in standing:
        if line.garden != garden:
            garden = line.garden
            rows.append(_head(garden, line.garden_name))
        rows.append(_tree_row(line))
    return rows


def _head(garden: str, name: str) -> ThingRow:
    return ThingRow("", name, say("When: flight, warmth, what comes next"), garden)


def _tree_row(line: TreeLine) -> ThingRow:
    parts = [
        *line.cultivars,
        say("another tree has this label too") if line.double else "",
        say("two records, one tree") if line.same_as else "",
    ]
    return ThingRow(
        line.tree, say("Tree {tree}", tree=line.label), " · ".join(part for part in parts if part)
    )


def _facts(tree: Tree, line: TreeLine) -> str:
    parts = [
        line.garden_name,
        *line.cultivars,
        spoken(SPECIES_WORDS[tree.species]) if tree.species else "",
        spoken(SIZE_WORDS[tree.size]) if tree.size else "",
        tree.form or "",
        say("planted {year}", year=tree.year_planted) if tree.year_planted else "",
        say("bears since {year}", year=tree.bearing_from) if tree.bearing_from else "",
    ]
    return " · ".join(part for part in parts if part)


def _notes(trees: TreeList, line: TreeLine) -> list[str]:
    earlier = trees.earlier_labels(line.tree)
    return [
        *([say("Labelled {labels} before.", labels=", ".join(earlier))] if earlier else []),
        *([say("Another standing tree of this garden has the same label.")] if line.double else []),
        *([say("Two records are said to be this one tree.")] if line.same_as else []),
        *([say("It is no longer there; what was recorded of it stays.")] if not line.standing else []),
    ]


def _placed(now: Placement) -> list[str]:
    height = say("{height} m high", height=f"{now.height_m:g}") if now.height_m is not None else ""
    since = say("since {day}", day=when_in_words(now.from_day))
    until = say("until {day}", day=when_in_words(now.to_day)) if now.to_day else ""
    return [now.place or "", height, since, until]

"""Bloom by cultivar and cold nights by stage, from the stages that were noted. Information; decides nothing."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations

from shared_models.records.timing import Stage
from shared_models.reference.growth_stages import FULL_BLOOM, FrostDamage, frost_damage
from shared_models.season.orchard import Orchard
from shared_models.season.rounding import edge
from shared_models.timing.parts import BloomLine, FrostLine, OverlapLine
from shared_models.timing.temperatures import GardenTemperatures
from shared_models.vocabulary import Species

FLOWERS_OPEN = (
    "60",
    "66",
)  # from the first flowers to the last full day, before petals fall (BBCH, from memory)
PETALS_FALL = "67"
NOTED_FOR = 28  # days after which a noted stage says nothing of a night any more (common practice)


@dataclass(frozen=True, slots=True)
class StageSeen:
    """A stage with its day, of whom it was seen, and of which species where that is known."""

    day: date
    bbch: str
    name: str
    species: Species | None


def stages_seen(stages: Iterable[Stage], orchard: Orchard, garden: str, until: date) -> list[StageSeen]:
    """The stages of a garden up to a day, in order."""
    seen = []
    for stage in stages:
        day, place = stage.moment.first, stage.garden or _garden_of(stage.tree, orchard)
        if day is not None and day <= until and place == garden:
            seen.append(StageSeen(day, stage.bbch, _name(stage, orchard), _species(stage, orchard, garden)))
    return sorted(seen, key=lambda one: (one.day, one.bbch, one.name))


def bloom_lines(seen: Iterable[StageSeen]) -> list[BloomLine]:
    """When each cultivar flowered, as far as it was noted."""
    by_name: dict[str, list[StageSeen]] = {}
    for one in seen:
        if one.bbch >= FLOWERS_OPEN[0]:
            by_name.setdefault(one.name, []).append(one)
    return [
        BloomLine(
            name=name,
            first=_first(found, "60", "64"),
            full=_first(found, FULL_BLOOM, "66"),
            petal_fall=_first(found, PETALS_FALL, "69"),
        )
        for name, found in sorted(by_name.items())
        if any(one.bbch <= "69" for one in found)
    ]


def overlaps(lines: Iterable[BloomLine]) -> list[OverlapLine]:
    """For how many days each two cultivars flowered together."""
    return [OverlapLine(a=a.name, b=b.name, days=_common_days(a, b)) for a, b in combinations(lines, 2)]


def frost_lines(
    seen: list[StageSeen], temperatures: GardenTemperatures, first: date, until: date
) -> list[FrostLine]:
    """Nights that were as cold as the cold that kills a tenth of the buds of the stage noted last before them."""
    lines = []
    for night in sorted(day for day in temperatures.days if first <= day <= until):
        lowest = temperatures.days[night].minimum
        for stage, damage in _critical(seen, night):
            if lowest <= damage.kills_10:
                lines.append(_frost_line(night, lowest, stage, damage))
    return lines


def _critical(seen: list[StageSeen], night: date) -> Iterator[tuple[StageSeen, FrostDamage]]:
    """The newest stage of each crop that was noted not long before a night; of several, the furthest on."""
    recent = [one for one in seen if night - timedelta(NOTED_FOR) <= one.day <= night]
    newest: dict[str, tuple[StageSeen, FrostDamage]] = {}
    for one in sorted(recent, key=lambda stage: (stage.day, stage.bbch)):
        damage = frost_damage(one.species, one.bbch)
        if damage is not None:
            newest[damage.crop] = (one, damage)
    yield from newest.values()


def _frost_line(night: date, lowest: float, stage: StageSeen, damage: FrostDamage) -> FrostLine:
    return FrostLine(
        night=night.isoformat(),
        lowest=edge(lowest),
        crop=damage.crop,
        stage=damage.stage,
        bbch=stage.bbch,
        noted=stage.day.isoformat(),
        kills_10=damage.kills_10,
        kills_90=damage.kills_90,
        source=damage.source,
    )


def _first(found: Iterable[StageSeen], low: str, high: str) -> str | None:
    return min((one.day.isoformat() for one in found if low <= one.bbch <= high), default=None)


def _common_days(a: BloomLine, b: BloomLine) -> int | None:
    starts, ends = [a.first or a.full, b.first or b.full], [a.petal_fall, b.petal_fall]
    if None in starts or None in ends:
        return None
    first = max(date.fromisoformat(day) for day in starts if day)
    last = min(date.fromisoformat(day) for day in ends if day)
    return max(0, (last - first).days)  # on the day that petals fall the flowers are over


def _garden_of(tree: str | None, orchard: Orchard) -> str | None:
    found = orchard.garden_of(tree) if tree else None
    return found.rec if found else None


def _name(stage: Stage, orchard: Orchard) -> str:
    """The cultivar, else the label of the tree, else nothing: then the whole garden was meant."""
    if stage.cultivar or not stage.tree:
        return stage.cultivar or ""
    one = orchard.one(stage.tree)
    return orchard.cultivars.get(one) or (orchard.trees[one].label if one in orchard.trees else "")


def _species(stage: Stage, orchard: Orchard, garden: str) -> Species | None:
    """That of the tree, else of all trees of the cultivar, else of all trees of the garden, where they are of one."""
    tree = orchard.trees.get(orchard.one(stage.tree)) if stage.tree else None
    if tree is not None:
        return tree.species
    here = [rec for rec, one in orchard.trees.items() if one.garden == garden]
    of_cultivar = [rec for rec in here if stage.cultivar and orchard.cultivars.get(rec) == stage.cultivar]
    found = {orchard.trees[rec].species for rec in of_cultivar or here}
    return found.pop() if len(found) == 1 else None

"""Growth stages of apple and pear by their BBCH codes, and the cold that kills buds by stage. Information, no advice."""

from dataclasses import dataclass
from functools import cache

from shared_models.reference.reading import Mark, rows_of
from shared_models.vocabulary import Species

FIRST_FLOWERS, FULL_BLOOM, PETAL_FALL = "60", "65", "69"
_CROPS = {
    Species.APPLE: "apple",
    Species.CRAB_APPLE: "apple",
    Species.PEAR: "pear",
    Species.ASIAN_PEAR: "pear",
}


@dataclass(frozen=True, slots=True)
class GrowthStage:
    """One stage of the scale, in own words."""

    code: str
    meaning: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class FrostDamage:
    """Temperatures at which half an hour kills a tenth and nine tenths of the buds of a stage [°C]."""

    crop: str
    stage: str
    first: str
    last: str
    kills_10: float
    kills_90: float
    source: str


@cache
def growth_stages() -> dict[str, GrowthStage]:
    """The stages by their codes, in order."""
    return {
        row["code"]: GrowthStage(row["code"], row["meaning"], Mark(row["mark"]))
        for row in rows_of("bbch_pome")
    }


@cache
def _frost_table() -> tuple[FrostDamage, ...]:
    return tuple(
        FrostDamage(
            row["crop"],
            row["stage"],
            row["bbch_first"],
            row["bbch_last"],
            float(row["kill10_C"]),
            float(row["kill90_C"]),
            row["source"],
        )
        for row in rows_of("frost_damage")
    )


def frost_damage(species: Species | None, code: str) -> FrostDamage | None:
    """What cold does at a stage; None for stages and species that the table does not have.

    Of several rows that cover a code the one that begins latest holds, being the furthest on.

    >>> frost_damage(Species.APPLE, "65").kills_10
    -2.2
    """
    crop = _CROPS.get(species) if species else None
    found = [row for row in _frost_table() if row.crop == crop and row.first <= code <= row.last]
    return max(found, key=lambda row: row.first, default=None)

"""What can be chosen in a season: gardens of its half of the earth, and cultivars that were noted. Knows no report."""

from dataclasses import dataclass

from shared_models.season.orchard import Orchard
from shared_models.season_records import SeasonRecords


@dataclass(frozen=True, slots=True)
class Offered:
    """Gardens as (id, name), and cultivars, both in the order of their names."""

    gardens: list[tuple[str, str]]
    cultivars: list[str]


def offered(records: SeasonRecords) -> Offered:
    """What can be chosen."""
    orchard = Orchard(records)
    gardens = [(rec, one.name) for rec, one in orchard.gardens.items() if not one.retired]
    here = {name for tree, name in orchard.cultivars.items() if tree in orchard.trees}
    return Offered(sorted(gardens, key=lambda one: (one[1], one[0])), sorted(here))

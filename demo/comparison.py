"""The report beside the truth: each mix's true rate, what the report says, and whether its range holds it; totals too.

Knows reports and the generator, no phone and no server.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from demo.own_count import own_count
from demo.place import GARDENS
from demo.season import InventedSeasons
from demo.truth import Mix
from shared_models.season.report_parts import MixRate, RateRange, SeasonReport


@dataclass(frozen=True, slots=True)
class Beside:
    """One range of a report beside the expected rate it speaks of: of picked fruit, or of all fruit."""

    mix: MixRate
    of_all_fruit: bool
    true_rate: float
    found: RateRange

    @property
    def held(self) -> bool:
        """Whether the range holds the true rate."""
        return self.found.low <= self.true_rate <= self.found.high


@dataclass(frozen=True, slots=True)
class Total:
    """One total as the report has it and as the generator counted it."""

    what: str
    reported: float
    counted: float

    @property
    def agrees(self) -> bool:
        """Whether both are the same; reports round to six decimals."""
        return abs(self.reported - self.counted) < 1e-6


def beside_the_truth(seasons: InventedSeasons, report: SeasonReport) -> list[Beside]:
    """Every range of the report for which the truth is known: of picked fruit, and of all fruit where it says so."""
    true = true_mixes(seasons, report.season)
    lines = []
    for line in report.mixes:
        mix = true[line.mix.key]
        lines.append(Beside(line, False, mix.picked_rate, line.picked))
        if line.all_fruit:
            lines.append(Beside(line, True, mix.rate, line.all_fruit))
    return lines


def true_mixes(seasons: InventedSeasons, season: str) -> dict[str, Mix]:
    """The mixes of a season by the key that the report gives them."""
    return {mix.key: mix for mix in seasons.mixes if GARDENS[mix.garden].season == season}


def totals(seasons: InventedSeasons, report: SeasonReport) -> list[Total]:
    """Every total that both sides have."""
    return list(_totals(seasons, report))


def _totals(seasons: InventedSeasons, report: SeasonReport) -> Iterator[Total]:
    own = own_count(seasons, report.season)
    for what, n in report.scored.model_dump().items():
        yield Total(what, n, own.fruit[what])
    yield Total("bags put on", report.bags_put_on, own.bags)
    moths = {f"{trap.garden} · {trap.label}": trap.caught_in_all for trap in report.traps}
    for trap in sorted(moths.keys() | own.moths.keys()):
        yield Total(f"moths in {trap}", moths.get(trap, 0), own.moths[trap])
    lines = {line.mix.key: line for line in report.mixes}
    for key in sorted(lines.keys() | own.trees_of_mix.keys()):
        line = lines.get(key)
        yield Total(f"trees with {key}", line.picked.trees if line else 0, own.trees_of_mix[key])
        yield Total(f"fruit scored of {key}", line.picked.scored if line else 0, own.scored_of_mix[key])
        yield Total(f"damaged fruit of {key}", line.picked.damaged if line else 0, own.damaged_of_mix[key])

"""How often ranges hold the truth, by simulated seasons. Run: python -m tests.shared_models.calculations.coverage_of_ranges

Trees draw their own rate from a beta distribution with the given intracluster correlation; 20 to 100 fruit a tree.
"""

import random
from dataclasses import dataclass

from shared_models.calculations.proportions import wilson
from shared_models.calculations.spread import method_rates


@dataclass(frozen=True, slots=True)
class Season:
    """What is true of the simulated seasons: every method has the same rate and number of trees."""

    trees: int
    methods: int
    rate: float
    icc: float


@dataclass(frozen=True, slots=True)
class Coverage:
    """Share of 95 % ranges that hold the true rate: shared spread, and fruit taken as independent."""

    shared: float
    independent: float


def coverage(season: Season, seasons: int, seed: int) -> Coverage:
    """Simulate some seasons and count the ranges that hold the true rate."""
    chance = random.Random(seed)
    shared = independent = 0
    for _ in range(seasons):
        for one in method_rates(_draw(season, chance)).values():
            naive = wilson(one.damaged, one.fruit)
            shared += one.low <= season.rate <= one.high
            independent += naive.low <= season.rate <= naive.high
    ranges = seasons * season.methods
    return Coverage(shared / ranges, independent / ranges)


def _draw(season: Season, chance: random.Random) -> dict[str, list[tuple[float, float]]]:
    return {f"M{m}": [_tree(season, chance) for _ in range(season.trees)] for m in range(season.methods)}


def _tree(season: Season, chance: random.Random) -> tuple[float, float]:
    size = 1 / season.icc - 1
    own = chance.betavariate(season.rate * size, (1 - season.rate) * size)
    scored = chance.randint(20, 100)
    return sum(chance.random() < own for _ in range(scored)), scored


def main() -> None:
    """Print the coverage for a few seasons."""
    print("trees  rate   ICC   shared  independent")
    for trees in (1, 2, 3, 5, 10):
        for rate, icc in ((0.02, 0.05), (0.12, 0.05), (0.12, 0.15), (0.30, 0.10)):
            found = coverage(Season(trees, methods=5, rate=rate, icc=icc), seasons=400, seed=1)
            print(f"{trees:5}  {rate:.2f}  {icc:.2f}   {found.shared:6.3f}  {found.independent:11.3f}")


if __name__ == "__main__":
    main()

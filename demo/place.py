"""The invented place: gardens, people, phones, and the method mixes with their true rates. Nothing in it exists.

Rates are invented, not measured: they are there to be found again by the report. Zones are real, since a zone has to be.
"""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from demo.truth import Mix


@dataclass(frozen=True, slots=True)
class Garden:
    """A garden and the season that it is lived through in."""

    name: str
    hemisphere: str
    zone: str
    season: str
    note: str


@dataclass(frozen=True, slots=True)
class Phone:
    """Somebody's phone."""

    person: str
    zone: str

    @property
    def clock(self) -> ZoneInfo:
        """The zone that it shows time in."""
        return ZoneInfo(self.zone)


_NOTE = "Everything in this garden is invented: place, people, cultivars, numbers."
GARDENS = {
    "larkhollow": Garden("Larkhollow (invented)", "north", "Europe/Vienna", "2026", _NOTE),
    "millward": Garden("Millward Slope (invented)", "north", "Europe/Vienna", "2026", _NOTE),
    "tarnfold": Garden("Tarnfold (invented)", "south", "Pacific/Auckland", "2025/26", _NOTE),
}
PHONES = {
    "ansa": Phone("Ansa (invented)", "Europe/Vienna"),
    "brun": Phone("Brun (invented)", "Europe/Vienna"),
    "coro": Phone("Coro (invented)", "Europe/Vienna"),
    "dile": Phone("Dile (invented)", "Europe/Vienna"),
    "emmo": Phone("Emmo (invented)", "Pacific/Auckland"),
}
HELPER = "Fenna (invented)"
PRODUCT = "Spray A (invented)"


def _with_drops(garden: str, untreated: float, virus: float, bagged: float, beside: float) -> list[Mix]:
    return [
        Mix(garden, "drops_round+untreated", untreated, untreated=True),
        Mix(garden, "drops_round+granulovirus", virus, ("granulovirus",)),
        Mix(garden, "bagging+drops_round", bagged, ("bagging",), cover="bagged"),
        Mix(garden, "drops_round|beside_bags", beside, ("bagging",), cover="bare"),
    ]


MIXES: tuple[Mix, ...] = (
    *_with_drops("larkhollow", untreated=0.30, virus=0.14, bagged=0.04, beside=0.27),
    Mix("larkhollow", "drops_round+kaolin_film", 0.20, ("kaolin_film",)),
    Mix("millward", "untreated", 0.32, untreated=True, drops_counted=False),
    Mix("millward", "kaolin_film", 0.18, ("kaolin_film",), drops_counted=False),
    Mix("millward", "granulovirus", 0.15, ("granulovirus",), drops_counted=False),
    Mix("millward", "netting", 0.05, ("netting",), drops_counted=False),
    *_with_drops("tarnfold", untreated=0.24, virus=0.10, bagged=0.03, beside=0.20),
)


@dataclass(frozen=True, slots=True)
class Row:
    """Trees of one row and how many of them get which treatment (named by the key of its whole-tree or bagged mix)."""

    garden: str
    prefix: str
    cultivars: tuple[str, str]  # the first half of the row, and the second
    trees: tuple[tuple[str, int], ...]
    not_recorded: int = 0
    left_out: int = 0

    @property
    def count(self) -> int:
        """All trees of the row."""
        return sum(count for _, count in self.trees) + self.not_recorded + self.left_out


# In a row of `not_recorded` and `left_out` trees the first treatment is what they truly had.
ROWS = (
    Row(
        "larkhollow",
        "L",
        ("Dawnlet", "Tarnell"),
        (
            ("drops_round+untreated", 5),
            ("drops_round+granulovirus", 5),
            ("bagging+drops_round", 5),
            ("drops_round+kaolin_film", 4),
        ),
        not_recorded=1,
        left_out=1,
    ),
    Row("millward", "M", ("Ruddelet", "Ruddelet"), (("granulovirus", 4), ("netting", 3)), not_recorded=2),
    Row("millward", "K", ("Wintermoss", "Wintermoss"), (("kaolin_film", 6), ("untreated", 6))),
    Row(
        "tarnfold",
        "S",
        ("Dawnlet", "Dawnlet"),
        (("drops_round+untreated", 4), ("drops_round+granulovirus", 4), ("bagging+drops_round", 4)),
        not_recorded=1,
    ),
)

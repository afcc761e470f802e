"""How a garden's season is reckoned: what its own settings say, else the group's, else as usual. Knows no temperatures.

"What a garden says goes before what the group says; what a season says goes before the seasons before it."
A biofix that was set by hand holds for its own garden and season only.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from shared_models.calculations.biofix import MOTHS, Rule
from shared_models.calculations.heat_sums import USUAL, Reckoning
from shared_models.records.timing import SeasonSetting
from shared_models.seasons import Season, season_named
from shared_models.timing.temperatures import USUAL_SOURCES, Sources
from shared_models.vocabulary import Fill

_INHERITED = (
    "rule",
    "moths",
    "method",
    "cutoff",
    "lower_c",
    "upper_c",
    "source",
    "second_source",
    "fill",
)


@dataclass(frozen=True, slots=True)
class TimingSettings:
    """The settings that hold. `rule` is None where nobody chose one; `biofix` is a moment set by hand."""

    rule: Rule | None = None
    moths: float = MOTHS
    biofix: str | None = None
    reckoning: Reckoning = USUAL
    sources: Sources = USUAL_SOURCES


def settings_of(settings: Iterable[SeasonSetting], garden: str, season: Season) -> TimingSettings:
    """What holds for a garden in a season."""
    concerned = [one for one in settings if one.garden in (None, garden) and _begun(one, season)]
    said: dict[str, Any] = {}
    for one in sorted(concerned, key=_place):
        said |= {name: value for name in _INHERITED if (value := getattr(one, name)) is not None}
    by_hand = [one.biofix for one in concerned if one.garden == garden and one.season == season.key]
    return TimingSettings(
        rule=said.get("rule"),
        moths=said.get("moths", MOTHS),
        biofix=next((told for told in reversed(by_hand) if told), None),
        reckoning=_reckoning(said),
        sources=Sources(said.get("source"), said.get("second_source"), said.get("fill", Fill.NO)),
    )


class SaidBy(StrEnum):
    """Whose a setting is."""

    GARDEN = "garden"
    GROUP = "group"
    NOBODY = "nobody"  # as usual


def said_by(settings: Iterable[SeasonSetting], garden: str, season: Season, names: Iterable[str]) -> SaidBy:
    """Who said any of these fields, as it holds for a garden in a season."""
    wanted = tuple(names)
    said = [one for one in settings if _begun(one, season) and _says_any(one, wanted)]
    if any(one.garden == garden for one in said):
        return SaidBy.GARDEN
    return SaidBy.GROUP if any(one.garden is None for one in said) else SaidBy.NOBODY


def _says_any(setting: SeasonSetting, names: Iterable[str]) -> bool:
    return any(getattr(setting, name) is not None for name in names)


def _begun(setting: SeasonSetting, season: Season) -> bool:
    return season_named(setting.season).first_day <= season.first_day


def _place(setting: SeasonSetting) -> tuple[bool, str, str]:
    """The group before the garden, earlier seasons before later ones: what comes later wins."""
    return (setting.garden is not None, str(season_named(setting.season).first_day), setting.rec)


def _reckoning(said: dict[str, Any]) -> Reckoning:
    """Thresholds the wrong way round were warned of when they were typed; the usual ones hold then."""
    lower, upper = said.get("lower_c", USUAL.lower), said.get("upper_c", USUAL.upper)
    if lower >= upper:
        lower, upper = USUAL.lower, USUAL.upper
    return Reckoning(
        said.get("method", USUAL.method), said.get("cutoff", USUAL.cutoff), float(lower), float(upper)
    )

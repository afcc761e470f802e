"""What each tree gave for the work it took, season by season. Knows no comparison of methods.

An opinion needs three seasons with crop, damage and hours known; it names a tree that lay a quarter above or below the
middle tree of its garden in every one of them. Of trees that are alike some will, by chance alone. What was not noted is not known, never none.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from shared_models.calculations.proportions import wilson
from shared_models.records.tallies import Pick
from shared_models.reports import Reported
from shared_models.season.report_parts import TreeLine
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import TreeInMix
from shared_models.years.parts import LEAST_OTHERS, LEAST_SEASONS, Opinion, TreeYear, TreeYears

MUCH = 0.25  # so much more or less than the middle, every season; less is within what fruit scored can tell (a convention)


@dataclass(frozen=True, slots=True)
class _Known:
    """A season's report with what the ledger asks it for, by tree."""

    made: Reported
    shares: Mapping[str, list[TreeInMix]]
    kilograms: Mapping[str, float]

    @property
    def key(self) -> str:
        return self.made.report.season


def ledger(seasons: Sequence[Reported]) -> list[TreeYears]:
    """Every tree that stands in the newest report or had anything before, in walking order."""
    known = [_Known(one, _shares(one), _kilograms(one)) for one in seasons]
    lines: dict[str, TreeLine] = {}
    years: dict[str, list[TreeYear]] = defaultdict(list)
    for season in known:
        one = season.made.season.orchard.one
        for line in season.made.report.trees:
            tree = one(line.tree)
            lines[tree] = line
            year = _year(season, line)
            if year.mixes or year.scored or year.crop or year.minutes:
                years[tree].append(year)
    middles = _middles(lines, years)
    order = {line.tree: number for number, line in enumerate(seasons[-1].report.trees)} if seasons else {}
    walk = sorted(lines, key=lambda tree: (order.get(tree, len(order)), tree))
    return [_tree(lines[tree], years[tree], middles) for tree in walk if years[tree]]


def _year(season: _Known, line: TreeLine) -> TreeYear:
    shares = season.shares.get(line.tree, [])
    fruit = [(one.picked.effective_damaged, one.picked.effective_scored) for one in shares]
    damaged, scored = sum(x for x, _ in fruit), sum(n for _, n in fruit)
    rate = _rate(shares)
    limits = wilson(damaged, scored) if scored else None
    crops = [one.picked.total for one in shares]
    crop = sum(one for one in crops if one is not None) if crops and None not in crops else None
    took = season.made.labour.of_tree(line.tree)
    sound = crop * (1 - rate) if crop is not None and rate is not None else None
    known = sound is not None and took.minutes is not None and not took.at_least and took.minutes > 0
    return TreeYear(
        season=season.key,
        mixes=sorted({one.mix.key for one in shares} | {part.mix for part in line.parts if part.mix}),
        crop=edge_if_known(crop),
        weight_kg=edge_if_known(season.kilograms.get(line.tree)),
        scored=edge(sum(one.scored for one in shares)),
        damaged=edge(sum(one.damaged for one in shares)),
        rate=edge_if_known(rate),
        low=edge(limits.low) if limits else None,
        high=edge(limits.high) if limits else None,
        sound=edge_if_known(sound),
        minutes=edge_if_known(took.minutes),
        at_least=took.at_least,
        money=edge_if_known(took.money),
        sound_per_hour=edge(60 * sound / took.minutes)
        if known and sound is not None and took.minutes
        else None,
    )


def _rate(shares: Sequence[TreeInMix]) -> float | None:
    """Damage of a tree's picked fruit; its parts weigh what they bore where that is known, else what was scored."""
    if not shares:
        return None
    crops = [one.picked.total for one in shares]
    by_crop = None not in crops and sum(one or 0 for one in crops) > 0
    weights = [(one.picked.total if by_crop else one.picked.effective_scored) or 0.0 for one in shares]
    return sum(w * one.picked.rate for w, one in zip(weights, shares, strict=True)) / sum(weights)


def _shares(made: Reported) -> dict[str, list[TreeInMix]]:
    found: dict[str, list[TreeInMix]] = defaultdict(list)
    for share in made.shares:
        found[share.tree].append(share)
    return found


def _kilograms(made: Reported) -> dict[str, float]:
    found: dict[str, float] = {}
    for pick in made.season.records.all(Pick):
        if pick.weight_kg is not None:
            tree = made.season.orchard.one(pick.tree)
            found[tree] = found.get(tree, 0.0) + pick.weight_kg
    return found


def _middles(
    lines: Mapping[str, TreeLine], years: Mapping[str, list[TreeYear]]
) -> dict[tuple[str, str], float]:
    """Sound fruit an hour of the middle tree, by garden and season."""
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for tree, of_tree in years.items():
        for year in of_tree:
            if year.sound_per_hour is not None:
                found[lines[tree].garden, year.season].append(year.sound_per_hour)
    return {key: median(values) for key, values in found.items() if len(values) >= LEAST_OTHERS}


def _tree(line: TreeLine, years: Sequence[TreeYear], middles: Mapping[tuple[str, str], float]) -> TreeYears:
    judged = [
        year.sound_per_hour / middles[line.garden, year.season]
        for year in years
        if year.sound_per_hour is not None and middles.get((line.garden, year.season))
    ]
    whole = [year for year in years if year.sound_per_hour is not None]
    sound, minutes = _sum(year.sound for year in whole), _sum(year.minutes for year in whole)
    return TreeYears(
        tree=line.tree,
        label=line.label,
        garden=line.garden,
        cultivar=line.cultivar,
        years=list(years),
        sound=edge_if_known(sound),
        minutes=edge_if_known(minutes),
        sound_per_hour=edge(60 * sound / minutes) if sound is not None and minutes else None,
        opinion=_opinion(judged),
        seasons_judged=len(judged),
    )


def _sum(values: Iterable[float | None]) -> float | None:
    known = [one for one in values if one is not None]
    return sum(known) if known else None


def _opinion(judged: Sequence[float]) -> Opinion:
    if len(judged) < LEAST_SEASONS:
        return Opinion.TOO_EARLY
    if min(judged) >= 1 + MUCH:
        return Opinion.MORE
    return Opinion.LESS if max(judged) <= 1 - MUCH else Opinion.MIXED

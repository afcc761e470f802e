"""The comparisons of several seasons: side by side, then together where they point one way. The tree stays the unit.

    tree  2025  2026     stands as
    A     3/30  18/60    one tree of both years, each weighing alike; compared with trees of the same years
    B     5/30           one tree of 2025

Strata are years × garden × cultivar × what else the trees had. Sharing the strata keeps a bad year out of the
difference, and a tree that was there for five years is not five trees.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from shared_models.calculations.contrasts import permutation_p_within
from shared_models.calculations.over_years import one_direction, tree_over_years
from shared_models.calculations.paired import Pair, PairedDifference, paired_difference
from shared_models.calculations.spread import method_rates
from shared_models.calculations.strata import Stratified
from shared_models.calculations.strata import pooled as put_together
from shared_models.calculations.verdict import Evidence, Grade, graded, holm
from shared_models.reports import Reported
from shared_models.season.named_parts import Warned
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.verdict_parts import ContrastLine
from shared_models.verdicts.compared import PICKED, Compared
from shared_models.verdicts.questions import Kind, Question, asked
from shared_models.verdicts.same_tree import counts_on_the_same_tree, headline_on_the_same_tree
from shared_models.verdicts.sides import Sides, sides_of
from shared_models.years.parts import PooledLine, YearOfContrast, YearsContrast

_Counts = tuple[float, float]
_Place = tuple[object, ...]  # rest × garden × cultivar
_Stratum = tuple[list[_Counts], list[_Counts]]


@dataclass(frozen=True, slots=True)
class _Evidence:
    """What all seasons together say of one comparison, before it is judged."""

    evidence: Evidence
    headline: str
    difference: float
    strata: list[_Stratum]
    lock: float | None


@dataclass(frozen=True, slots=True)
class _Season:
    """One season's report with its comparisons by key."""

    key: str
    compared: Compared
    questions: Mapping[str, Question]
    lines: Mapping[str, ContrastLine]

    @classmethod
    def of(cls, made: Reported) -> "_Season":
        compared = Compared(made.season, made.shares)
        questions = {one.question.key: one.question for one in asked(compared)}
        lines = {line.key: line for line in made.report.contrasts if line.difference is not None}
        return cls(made.report.season, compared, questions, lines)


def years_contrasts(seasons: Sequence[Reported]) -> list[YearsContrast]:
    """Every comparison that at least two seasons could make."""
    known = [_Season.of(one) for one in seasons]
    keys = sorted({key for one in known for key in one.lines})
    several = {key: [one for one in known if key in one.lines] for key in keys}
    asked_often = {key: of_key for key, of_key in several.items() if len(of_key) > 1}
    found = {key: _evidence(key, of_key) for key, of_key in asked_often.items()}
    named = [key for key, of_key in asked_often.items() if found[key] and _named(key, of_key)]
    ps = [one.evidence.p if (one := found[key]) and one.evidence.p is not None else 1.0 for key in named]
    adjusted = dict(zip(named, holm(ps), strict=True))
    return [_contrast(key, of_key, found[key], adjusted.get(key)) for key, of_key in asked_often.items()]


def _named(key: str, seasons: Iterable[_Season]) -> bool:
    """Whether it was named before scoring in every one of its seasons."""
    return all(one.lines[key].before_scoring for one in seasons)


def _contrast(
    key: str, seasons: Sequence[_Season], found: _Evidence | None, holm_p: float | None
) -> YearsContrast:
    lines = [one.lines[key] for one in seasons]
    agree = one_direction([line.difference or 0.0 for line in lines])
    warned = [
        Warned(code="YEARS_DISAGREE", count=int(not agree)),
        Warned(code="YEARS_NOT_NAMED", count=int(not _named(key, seasons))),
    ]
    return YearsContrast(
        key=key,
        kind=lines[-1].kind,
        method=lines[-1].method,
        a=lines[-1].a,
        b=lines[-1].b,
        years=[_year(one.key, one.lines[key]) for one in seasons],
        pooled=_judged(found, holm_p, lines) if found and agree else None,
        warnings=[one for one in warned if one.count],
    )


def _year(season: str, line: ContrastLine) -> YearOfContrast:
    return YearOfContrast(
        season=season,
        difference=line.difference or 0.0,
        low=line.low,
        high=line.high,
        trees_a=line.side_a.trees,
        trees_b=line.side_b.trees,
        rate_a=line.side_a.rate,
        rate_b=line.side_b.rate,
        grade=line.grade,
        named=line.before_scoring,
    )


def _judged(found: _Evidence, holm_p: float | None, lines: Sequence[ContrastLine]) -> PooledLine:
    """What caps any of the seasons caps them together; the second lock is tried where all else holds."""
    caps = sorted({cap for line in lines for cap in line.caps})
    evidence = replace(found.evidence, holm=holm_p, capped=bool(caps), lock=0.0)
    first = graded(evidence)
    lock = None
    if first.grade is Grade.FIRM:
        lock = found.lock if found.lock is not None else permutation_p_within(found.strata)
        first = graded(replace(evidence, lock=lock))
    return PooledLine(
        headline=found.headline,
        difference=edge(found.difference),
        low=edge_if_known(evidence.low),
        high=edge_if_known(evidence.high),
        p=edge_if_known(evidence.p),
        holm_p=edge_if_known(holm_p),
        lock_p=edge_if_known(lock),
        trees_a=evidence.trees_a,
        trees_b=evidence.trees_b,
        strata=len(found.strata),
        grade=first.grade,
        missing=list(first.missing),
        caps=caps,
    )


def _evidence(key: str, seasons: Sequence[_Season]) -> _Evidence | None:
    kind = seasons[0].questions[key].kind
    if kind is Kind.PAIRED:
        return _on_the_same_trees(seasons)
    return None if kind is Kind.GARDENS else _between_trees(key, seasons)


def _between_trees(key: str, seasons: Sequence[_Season]) -> _Evidence | None:
    sides = [sides_of(one.questions[key], one.compared) for one in seasons]
    headline = _common({one.headline for one in sides})
    strata = _strata(sides, headline)
    cells = {(place, side): trees[side] for place, trees in strata.items() for side in (0, 1)}
    rates = method_rates(cells)
    found = put_together([(rates[place, 0], rates[place, 1]) for place in strata])
    if found is None:
        return None
    trees = [{tree.tree for one in sides if one.used for tree in one.trees(side)} for side in "ab"]
    evidence = _of_years(found, len(trees[0]), len(trees[1]), paired=False)
    return _Evidence(evidence, headline, found.difference, list(strata.values()), None)


def _of_years(found: Stratified | PairedDifference, trees_a: int, trees_b: int, *, paired: bool) -> Evidence:
    """What a grade is given on; the second lock, Holm and the caps come with all comparisons together."""
    return Evidence(
        trees_a=trees_a,
        trees_b=trees_b,
        paired=paired,
        separated=True,
        p=found.p,
        holm=None,
        lock=None,
        welch=None,
        low=found.low,
        high=found.high,
        capped=False,
    )


def _common(headlines: set[str]) -> str:
    """The definition of damage that all seasons have in common."""
    return headlines.pop() if len(headlines) == 1 else PICKED


def _strata(sides: Sequence[Sides], headline: str) -> dict[_Place, _Stratum]:
    """Trees by the years that they stand on their side in, and what else they share; strata with one side stay out.

    A tree of years that no tree of the other side has stands with the most of them that one has.
    """
    of_tree: dict[tuple[_Place, int, str], dict[int, _Counts]] = defaultdict(dict)
    for year, one in enumerate(sides):
        for stratum in one.used:
            place: _Place = (stratum.rest, stratum.garden, stratum.cultivar)
            for side, trees in enumerate((stratum.a, stratum.b)):
                for tree in trees:
                    of_tree[place, side, tree.tree][year] = tree.counts(headline)
    whole = {(place, side, tuple(years)) for (place, side, _), years in of_tree.items()}
    found: dict[_Place, _Stratum] = {}
    for (place, side, _), years in sorted(of_tree.items(), key=lambda item: repr(item[0])):
        matched = (place, 1 - side, tuple(years)) in whole
        chosen = tuple(years) if matched else _newest_shared(place, side, years, whole)
        if chosen:
            counts = tree_over_years([years[year] for year in chosen])
            found.setdefault((place, chosen), ([], []))[side].append(counts)
    return {key: trees for key, trees in found.items() if trees[0] and trees[1]}


def _newest_shared(
    place: _Place, side: int, years: Mapping[int, _Counts], whole: set[tuple[_Place, int, tuple[int, ...]]]
) -> tuple[int, ...]:
    """The most years of this tree that trees of the other side stand in as well; the newest of as many."""
    others = [
        tuple(year for year in theirs if year in years)
        for there, of, theirs in whole
        if there == place and of != side
    ]
    return max(others, key=lambda shared: (len(shared), shared), default=())


def _on_the_same_trees(seasons: Sequence[_Season]) -> _Evidence | None:
    """Bagged beside bare fruit, each tree once: its years put together kind by kind."""
    headline = _common({headline_on_the_same_tree(one.compared) for one in seasons})
    of_tree: dict[str, list[Pair]] = defaultdict(list)
    for one in seasons:
        for tree, counts in counts_on_the_same_tree(one.compared, headline):
            of_tree[tree].append(counts)
    pairs: list[Pair] = [
        (
            *tree_over_years([(x, n) for x, n, _, _ in years]),
            *tree_over_years([(x, n) for _, _, x, n in years]),
        )
        for _, years in sorted(of_tree.items())
    ]
    if not pairs:
        return None
    found = paired_difference(pairs, at_least_chance=True)
    evidence = _of_years(found, len(pairs), len(pairs), paired=True)
    return _Evidence(evidence, headline, found.difference, [], found.lock_p)

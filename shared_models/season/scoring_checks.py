"""How far the scoring can be trusted: fruit scored by two people, and clean-looking fruit cut open. Changes no rate."""

from collections.abc import Iterable

from shared_models.calculations.agreement import ENOUGH, agreement
from shared_models.calculations.proportions import upper_bound_when_none, wilson
from shared_models.records.gardens import Person
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.season.named_parts import Warned
from shared_models.season.report_parts import AgreementLine, CutLine, ScoringChecks
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import SeasonRows
from shared_models.vocabulary import Fruit

_Pair = tuple[str, str]


def scoring_checks(season: SeasonRows) -> ScoringChecks:
    """The agreement of each two people, and what cutting found."""
    names = {person.rec: person.name for person in season.records.all(Person)}
    pairs = _by_pair(season.records.all(DoubleScore))
    lines = [_agreement(pair, marks, names) for pair, marks in sorted(pairs.items())]
    return ScoringChecks(agreement=lines, cut=_cut(season))


def warnings_of(checks: ScoringChecks) -> list[Warned]:
    """What they say against the scoring."""
    found = [
        Warned(
            code="SCORERS_DISAGREE", about=[line.first, line.second], count=max(1, round(100 * line.equal))
        )
        for line in checks.agreement
        if line.equal < ENOUGH
    ]
    if checks.cut and checks.cut.found:
        found.append(Warned(code="HIDDEN_ENTRIES", count=checks.cut.found))
    return found


def _by_pair(scores: Iterable[DoubleScore]) -> dict[_Pair, tuple[list[Fruit], list[Fruit]]]:
    """Marks of both, fruit by fruit, the two always in the same order; of unequal lists nobody knows what is what."""
    found: dict[_Pair, tuple[list[Fruit], list[Fruit]]] = {}
    for one in scores:
        if len(one.first_marks) != len(one.second_marks) or one.person == one.second:
            continue
        sides = sorted([(one.person, one.first_marks), (one.second, one.second_marks)])
        first, second = found.setdefault((sides[0][0], sides[1][0]), ([], []))
        first += sides[0][1]
        second += sides[1][1]
    return found


def _agreement(pair: _Pair, marks: tuple[list[Fruit], list[Fruit]], names: dict[str, str]) -> AgreementLine:
    found = agreement(*marks)
    return AgreementLine(
        first=names.get(pair[0], pair[0]),
        second=names.get(pair[1], pair[1]),
        fruit=found.fruit,
        equal=edge(found.equal),
        low=edge(found.low),
        high=edge(found.high),
        kappa=edge_if_known(found.kappa),
        kappa_low=edge_if_known(found.kappa_low),
        kappa_high=edge_if_known(found.kappa_high),
    )


def _cut(season: SeasonRows) -> CutLine | None:
    one = season.orchard.one
    samples = [sample for sample in season.records.all(CutSample) if sample.cut]
    cut = sum(sample.cut for sample in samples)
    if not cut:
        return None
    found = min(cut, sum(sample.found for sample in samples))
    limits = wilson(found, cut)
    return CutLine(
        trees=len({one(sample.tree) for sample in samples}),
        cut=cut,
        found=found,
        share=edge(found / cut),
        low=edge(limits.low),
        high=edge(limits.high if found else upper_bound_when_none(cut)),
    )

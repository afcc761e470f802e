"""Which comparisons a season report makes: those named beforehand, and a few that everybody asks. Knows no numbers.

"With X or without X, otherwise alike" comes first. A mix that no question reaches is compared with the mix of most
trees, so that every mix stands somewhere. What was not named before scoring is found afterwards.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from shared_models.records.methods import PlannedContrast
from shared_models.records.tallies import Visit
from shared_models.season_records import SeasonRecords
from shared_models.verdicts.compared import Compared, Own
from shared_models.vocabulary import BAGGING, Reach, Source, Tallied
from shared_models.when import When, parse_when


class Kind(StrEnum):
    """How two sides are made."""

    WITH_WITHOUT = "with_without"
    MIXES = "mixes"
    PAIRED = "paired"
    GARDENS = "gardens"


@dataclass(frozen=True, slots=True)
class Question:
    """One comparison; `method` for all kinds but mixes, `a` and `b` for mixes."""

    kind: Kind
    method: str | None = None
    a: Own | None = None
    b: Own | None = None

    @property
    def key(self) -> str:
        """As one word, the same in every report."""
        if self.a is not None and self.b is not None:
            return f"{self.kind}:{self.a.key}/{self.b.key}"
        return f"{self.kind}:{self.method}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A question, when it was named (None: found afterwards), and whether that was before the first score."""

    question: Question
    named_at: str | None = None
    before_scoring: bool = False


def asked(compared: Compared) -> list[Asked]:
    """All comparisons of a season: named ones in the order of naming, then the others by key."""
    records = compared.season.records
    began = first_score(records)
    planned: dict[str, Asked] = {}
    for named in sorted(records.all(PlannedContrast), key=lambda one: (_named(one).order, one.rec)):
        for question in _planned(named, compared):
            one = Asked(question, named.when, _is_before(named, began))
            planned.setdefault(question.key, one)
    found = {question.key: Asked(question) for question in _found(compared, list(planned.values()))}
    return [*planned.values(), *(found[key] for key in sorted(found.keys() - planned.keys()))]


def first_score(records: SeasonRecords) -> When | None:
    """When the first picked fruit of the season was scored; None where none was, or its day is not known."""
    scored = {
        count.visit
        for count in records.tallies
        if count.what == Tallied.FRUIT and count.source in ("", Source.PICKED) and count.marks
    }
    moments = [visit.moment for visit in records.all(Visit) if visit.rec in scored and visit.moment.first]
    return min(moments, key=lambda moment: moment.order, default=None)


def _planned(named: PlannedContrast, compared: Compared) -> Iterator[Question]:
    """The questions that a record names; bagging is asked on the same tree too."""
    if named.with_method:
        yield _about(named.with_method, compared)
        if named.with_method == BAGGING:
            yield Question(Kind.PAIRED, BAGGING)
    elif named.a is not None and named.b is not None:
        a, b = compared.own(named.a), compared.own(named.b)
        if a != b:
            yield Question(Kind.MIXES, a=a, b=b)
        apart = compared.garden_methods(named.a) ^ compared.garden_methods(named.b)
        if a == b:
            yield from (Question(Kind.GARDENS, method) for method in sorted(apart))


def _about(method: str, compared: Compared) -> Question:
    in_gardens = compared.reach(method) is Reach.GARDEN
    return Question(Kind.GARDENS if in_gardens else Kind.WITH_WITHOUT, method)


def _found(compared: Compared, planned: Iterable[Asked]) -> list[Question]:
    owns = compared.owns
    questions = [one.question for one in planned]
    reached = {own for question in questions for own in (question.a, question.b) if own}
    used = sorted({method for own in owns for method in own.methods})
    made: list[Question] = []
    for method in used:
        sides = [own for own in owns if method in own.methods and own.without(method) in owns]
        if sides:
            made.append(Question(Kind.WITH_WITHOUT, method))
            reached |= {*sides, *(own.without(method) for own in sides)}
    if Own(untreated=True) in owns:
        for own in owns:
            if len(own.methods) > 1 and not own.partly:
                made.append(Question(Kind.MIXES, a=own, b=Own(untreated=True)))
                reached |= {own, Own(untreated=True)}
    made += _left(owns, reached)
    if any(share.mix.beside_bags for share in compared.shares):
        made.append(Question(Kind.PAIRED, BAGGING))
    return made + [Question(Kind.GARDENS, method) for method in _between_gardens(compared)]


def _left(owns: dict[Own, int], reached: set[Own]) -> Iterator[Question]:
    """Mixes that no question reaches, each against the mix of most trees."""
    ordered = sorted(owns, key=lambda own: (-owns[own], own))
    for own in ordered:
        others = [other for other in ordered if other != own]
        if own not in reached and others:
            first, second = sorted((own, others[0]), key=lambda one: (one.untreated, one))
            yield Question(Kind.MIXES, a=first, b=second)


def _between_gardens(compared: Compared) -> list[str]:
    """Methods that some whole gardens had and others had not."""
    of_garden: dict[str, set[str]] = {}
    for tree in compared.trees:
        of_garden.setdefault(tree.cell.garden, set()).update(compared.garden_methods(tree.share.mix.methods))
    had = [method for methods in of_garden.values() for method in methods]
    return sorted({method for method in had if 0 < had.count(method) < len(of_garden)})


def _named(one: PlannedContrast) -> When:
    """When it was named, as far as that can be believed: never before it was written down."""
    entered = parse_when(one.entered) if one.entered else one.moment
    return max(one.moment, entered, key=lambda moment: moment.order)


def _is_before(one: PlannedContrast, began: When | None) -> bool:
    """Whether it was surely named before the first score; of the same day only where both have their times."""
    if began is None or began.first is None:
        return True
    named = _named(one)
    if named.instant and began.instant:
        return _utc(named.instant) < _utc(began.instant)
    return (named.last or date.max) < began.first


def _utc(moment: datetime) -> float:
    return moment.timestamp()

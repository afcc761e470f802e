"""Which comparisons a season report makes: those named beforehand, and a few that everybody asks. Knows no numbers.

"With X or without X, otherwise alike" comes first. A mix that no question reaches is compared with the mix of most
trees, so that every mix stands somewhere. What was not named before scoring is found afterwards.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from shared_models.records.methods import PlannedContrast
from shared_models.verdicts.compared import Compared, Own
from shared_models.verdicts.named_before import namings
from shared_models.vocabulary import BAGGING, Reach


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
    planned: dict[str, Asked] = {}
    for named in namings(compared.season.records):
        for question in _planned(named.contrast, compared):
            planned.setdefault(question.key, Asked(question, named.at.text, named.before_scoring))
    found = {question.key: Asked(question) for question in _found(compared, list(planned.values()))}
    return [*planned.values(), *(found[key] for key in sorted(found.keys() - planned.keys()))]


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

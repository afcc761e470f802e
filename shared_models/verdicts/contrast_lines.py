"""The contrasts of a season report: every question judged, with its numbers, caps, warnings and what would settle it.

Named before scoring is what counts: those questions form one family (Holm), and nothing else is ever firm.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shared_models.calculations.verdict import holm
from shared_models.season.labour import Labour
from shared_models.season.named_parts import Warned
from shared_models.season.rounding import edge_if_known
from shared_models.season.rows import SeasonRows, TreeInMix, trees_in_mixes
from shared_models.season.verdict_parts import ContrastLine, OtherwiseLine
from shared_models.verdicts.between_gardens import between_gardens
from shared_models.verdicts.between_trees import between_trees
from shared_models.verdicts.compared import Compared
from shared_models.verdicts.doubts import Family, Seen, naming
from shared_models.verdicts.judged import judged
from shared_models.verdicts.line import Drawn, line_of
from shared_models.verdicts.named_before import given_up
from shared_models.verdicts.questions import Asked, Kind, Question, asked
from shared_models.verdicts.same_tree import on_the_same_tree
from shared_models.verdicts.scoring import Scoring


@dataclass(frozen=True, slots=True)
class Told:
    """What the report knows already: names of trees, those declared or left out after their scoring began."""

    names: dict[str, str]
    declared_late: frozenset[str]
    left_out_late: frozenset[str]


def contrast_lines(
    season: SeasonRows, shares: Sequence[TreeInMix], told: Told, labour: Labour
) -> list[ContrastLine]:
    """Every comparison of the season."""
    compared = Compared(season, shares)
    seen = Seen(told.names, Scoring(season), told.declared_late)
    questions = asked(compared)
    drawn = [_drawn(one.question, compared, seen, labour) for one in questions]
    family = [number for number, one in enumerate(questions) if one.before_scoring]
    lost = given_up(season.records)
    of_family = [drawn[number].numbers.p for number in family] + [None] * lost
    adjusted = dict(zip(family, holm([1.0 if p is None else p for p in of_family]), strict=False))
    with_them = _with_left_out(season, told, seen, labour)
    return [
        _line(one, drawn[number], adjusted.get(number), Family(len(of_family), lost), with_them)
        for number, one in enumerate(questions)
    ]


def _drawn(question: Question, compared: Compared, seen: Seen, labour: Labour) -> Drawn:
    if question.kind is Kind.PAIRED:
        return on_the_same_tree(compared, seen)
    if question.kind is Kind.GARDENS:
        return between_gardens(question.method or "", compared)
    return between_trees(question, compared, seen, labour)


@dataclass(frozen=True, slots=True)
class _WithThem:
    """The season with the trees in it that were left out after their scoring began."""

    compared: Compared
    seen: Seen
    labour: Labour
    names: list[str]


def _with_left_out(season: SeasonRows, told: Told, seen: Seen, labour: Labour) -> _WithThem | None:
    if not told.left_out_late:
        return None
    kept = {tree: one for tree, one in season.left_out.items() if tree not in told.left_out_late}
    with_them = replace(season, left_out=kept)
    compared = Compared(with_them, trees_in_mixes(with_them))
    return _WithThem(compared, seen, labour, seen.called(told.left_out_late))


def _line(
    one: Asked, drawn: Drawn, holm_p: float | None, family: Family, with_them: _WithThem | None
) -> ContrastLine:
    doubts = [*naming(one.question.kind, one.before_scoring, family), *drawn.doubts]
    first = judged(drawn.numbers, holm_p, doubts)
    otherwise = list(drawn.otherwise)
    if with_them is not None:
        other = _drawn(one.question, with_them.compared, with_them.seen, with_them.labour)
        second = judged(other.numbers, holm_p, doubts)
        otherwise.append(
            OtherwiseLine(
                how="with_left_out",
                grade=second.grade,
                difference=edge_if_known(other.numbers.difference),
                low=edge_if_known(other.numbers.low),
                high=edge_if_known(other.numbers.high),
            )
        )
        if second.grade is not first.grade:
            doubts.append(Warned(code="LEFT_OUT_LATE", about=with_them.names, count=len(with_them.names)))
            first = judged(drawn.numbers, holm_p, doubts)
    return line_of(one, drawn, first, holm_p, max(1, family.named), doubts, otherwise)

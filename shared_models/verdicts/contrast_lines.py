"""The contrasts of a season report: every question judged, with its numbers, caps, warnings and what would settle it.

Named before scoring is what counts: those questions form one family (Holm), and nothing else is ever firm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shared_models.calculations.verdict import Grade, holm
from shared_models.season.choice import Counted
from shared_models.season.labour import Labour
from shared_models.season.last_season import own_methods_last_season
from shared_models.season.named_parts import Warned
from shared_models.season.rounding import edge_if_known
from shared_models.season.rows import SeasonRows, TreeInMix, rows_of, trees_in_mixes
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
from shared_models.vocabulary import BAGGING, Bag, Reach

WITH_LEFT_OUT, BAG_STAYED_ON = "with_left_out", "bag_stayed_on"


@dataclass(frozen=True, slots=True)
class Told:
    """What the report knows already: names of trees, those declared or left out after their scoring began."""

    names: dict[str, str]
    declared_late: frozenset[str]
    left_out_late: frozenset[str]
    said_late: frozenset[str] = frozenset()
    methods_changed: frozenset[str] = frozenset()


def contrast_lines(
    season: SeasonRows, shares: Sequence[TreeInMix], told: Told, labour: Labour
) -> list[ContrastLine]:
    """Every comparison of the season."""
    compared = Compared(season, shares)
    seen = Seen(
        told.names,
        Scoring(season),
        told.declared_late,
        _carried_over(compared),
        season.choice.fruit is Counted.BEST,
        told.said_late,
        told.methods_changed,
        compared.not_scored,
    )
    questions = asked(compared)
    drawn = [_drawn(one.question, compared, seen, labour) for one in questions]
    family = [number for number, one in enumerate(questions) if one.before_scoring]
    lost = given_up(season.records)
    of_family = [drawn[number].numbers.p for number in family] + [None] * lost
    adjusted = dict(zip(family, holm([1.0 if p is None else p for p in of_family]), strict=False))
    ways = list(_otherwise(season, told, seen, labour))
    return [
        _line(
            one,
            drawn[number],
            adjusted.get(number),
            Family(len(of_family), lost, season.choice.of_a_part),
            ways,
        )
        for number, one in enumerate(questions)
    ]


def _drawn(question: Question, compared: Compared, seen: Seen, labour: Labour) -> Drawn:
    if question.kind is Kind.PAIRED:
        return on_the_same_tree(compared, seen)
    if question.kind is Kind.GARDENS:
        return between_gardens(question.method or "", compared)
    return between_trees(question, compared, seen, labour)


@dataclass(frozen=True, slots=True)
class _Otherwise:
    """The season counted another way: `how`, for which questions (None: all), and the trees that make the difference."""

    how: str
    only: str | None
    compared: Compared
    seen: Seen
    labour: Labour
    names: list[str]

    def concerns(self, question: Question) -> bool:
        """Whether a question may come out otherwise."""
        return self.only is None or question.method == self.only


def _otherwise(season: SeasonRows, told: Told, seen: Seen, labour: Labour) -> Iterator[_Otherwise]:
    if told.left_out_late:
        kept = {tree: one for tree, one in season.left_out.items() if tree not in told.left_out_late}
        with_them = replace(season, left_out=kept)
        compared = Compared(with_them, trees_in_mixes(with_them))
        yield _Otherwise(WITH_LEFT_OUT, None, compared, seen, labour, seen.called(told.left_out_late))
    on = [count for count in season.records.tallies if count.bag != Bag.LOST]
    if len(on) < len(season.records.tallies):
        stayed_on = rows_of(replace(season.records, tallies=on), season.choice)
        compared = Compared(stayed_on, trees_in_mixes(stayed_on))
        yield _Otherwise(BAG_STAYED_ON, BAGGING, compared, seen, labour, [])


def _line(
    one: Asked, drawn: Drawn, holm_p: float | None, family: Family, ways: Sequence[_Otherwise]
) -> ContrastLine:
    doubts = [*naming(one.question.kind, one.before_scoring, family), *drawn.doubts]
    first = judged(drawn.numbers, holm_p, doubts)
    otherwise = list(drawn.otherwise)
    for way in ways:
        if not way.concerns(one.question):
            continue
        other = _drawn(one.question, way.compared, way.seen, way.labour)
        second = judged(other.numbers, holm_p, doubts)
        otherwise.append(_other_line(way.how, other, second.grade))
        if way.how == WITH_LEFT_OUT and second.grade is not first.grade:
            doubts.append(Warned(code="LEFT_OUT_LATE", about=way.names, count=len(way.names)))
            first = judged(drawn.numbers, holm_p, doubts)
    return line_of(one, drawn, first, holm_p, max(1, family.named), doubts, otherwise)


def _other_line(how: str, other: Drawn, grade: Grade) -> OtherwiseLine:
    return OtherwiseLine(
        how=how,
        grade=grade,
        difference=edge_if_known(other.numbers.difference),
        low=edge_if_known(other.numbers.low),
        high=edge_if_known(other.numbers.high),
    )


def _carried_over(compared: Compared) -> frozenset[str]:
    """Trees that had something else last season, as far as that was recorded: it may still act."""
    last = own_methods_last_season(compared.season)
    return frozenset(
        tree.tree
        for tree in compared.trees
        if tree.tree in last
        and last[tree.tree] != {one for one in tree.cell.own.methods if compared.reach(one) is Reach.TREE}
    )

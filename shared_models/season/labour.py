"""What the methods of a season took: hours of people and money, by method and tree. Knows no verdict.

"Hours that nobody noted are not known; they are never none." Minutes that were typed for a job hold; timed visits to
the same trees on the same day for the same method lie inside them. Sessions of one person that overlap count once.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property

from shared_models.calculations.costs import Session, worked
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import Visit
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import SeasonRows
from shared_models.season.verdict_parts import CostLine
from shared_models.vocabulary import BAGGING, DROPS_ROUND, Round
from shared_models.when import parse_when

_METHOD_OF_ROUND = {Round.BAGGING: BAGGING, Round.DROPS: DROPS_ROUND}


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of work: for what, on which trees, by whom; `session` where it has times, `typed` person-minutes.

    `shared_by` is how many trees share it, those that are not looked at or not here among them.
    """

    method: str
    trees: tuple[str, ...]
    person: str
    day: date | None
    session: Session | None
    typed: float | None
    people: int
    cost: float | None
    shared_by: int = 1

    @property
    def timed(self) -> bool:
        """Whether anything says how long it took."""
        return self.session is not None or self.typed is not None


@dataclass(frozen=True, slots=True)
class TreeWork:
    """What one tree took, all methods together. None: none was noted; `at_least`: some of its work has no time noted."""

    minutes: float | None = None
    at_least: bool = False
    money: float | None = None


@dataclass(slots=True)
class _Sum:
    """What one method came to."""

    minutes: dict[str, float] = field(default_factory=dict)
    untimed_trees: set[str] = field(default_factory=set)
    trees: set[str] = field(default_factory=set)
    people: set[str] = field(default_factory=set)
    timed: int = 0
    untimed: int = 0
    open_ends: int = 0
    money: float | None = None
    money_of: dict[str, float] = field(default_factory=dict)


class Labour:
    """Hours and money of a season, asked by method."""

    def __init__(self, season: SeasonRows) -> None:
        self._season = season

    def lines(self) -> list[CostLine]:
        """One line for each method that anything was done for, by key."""
        return [self._line(method, found) for method, found in sorted(self._sums.items())]

    def minutes(self, method: str, trees: Iterable[str]) -> tuple[float | None, bool]:
        """Person-minutes of a method on some trees (None: none were noted), and whether it took at least that."""
        found = self._sums.get(method)
        asked = set(trees)
        if found is None or not asked & found.minutes.keys():
            return None, True
        return sum(found.minutes.get(tree, 0.0) for tree in sorted(asked)), bool(asked & found.untimed_trees)

    def of_tree(self, tree: str) -> TreeWork:
        """What one tree took; work on several trees at once is shared out evenly."""
        sums = self._sums.values()
        minutes = [one.minutes[tree] for one in sums if tree in one.minutes]
        money = [one.money_of[tree] for one in sums if tree in one.money_of]
        return TreeWork(
            minutes=sum(minutes) if minutes else None,
            at_least=any(tree in one.untimed_trees for one in sums),
            money=sum(money) if money else None,
        )

    @cached_property
    def _sums(self) -> dict[str, _Sum]:
        sums: dict[str, _Sum] = {}
        pieces = list(self._pieces())
        for piece in pieces:
            trees = self._looked_at(piece)
            if trees:
                _note(sums.setdefault(piece.method, _Sum()), piece, trees)
        for piece, minutes in _minutes_of_each(pieces):
            for tree in self._looked_at(piece):
                of_method = sums[piece.method].minutes
                of_method[tree] = of_method.get(tree, 0.0) + minutes / piece.shared_by
        return sums

    def _looked_at(self, piece: Piece) -> list[str]:
        """The trees of a piece of work that are looked at; work on no tree that is known stands under none."""
        if not piece.trees:
            return [""] if self._season.choice.cultivar is None else []
        return [tree for tree in piece.trees if self._season.looked_at(tree)]

    def _pieces(self) -> Iterator[Piece]:
        jobs = [self._of_job(job) for job in self._season.records.all(Job)]
        yield from jobs
        typed = {(job.method, tree, job.day) for job in jobs if job.typed is not None for tree in job.trees}
        for visit in self._season.records.all(Visit):
            piece = self._of_visit(visit)
            if piece and not any((piece.method, tree, piece.day) in typed for tree in piece.trees):
                yield piece

    def _of_job(self, job: Job) -> Piece:
        orchard = self._season.orchard
        named = {orchard.one(tree) for tree in job.trees}
        if not job.trees and job.garden:
            named = set(orchard.of_garden(job.garden, job.moment.last))
        trees = named & orchard.trees.keys()
        people = job.people or 1
        return Piece(
            method=job.method,
            trees=tuple(sorted(trees)),
            person=job.person,
            day=job.moment.day,
            session=_session(job.when, job.ended, 0) if job.minutes is None and job.ended else None,
            typed=None if job.minutes is None else float(job.minutes * people),
            people=people,
            cost=job.cost,
            shared_by=max(1, len(named)),
        )

    def _of_visit(self, visit: Visit) -> Piece | None:
        method = _METHOD_OF_ROUND.get(visit.round)
        tree = self._season.orchard.one(visit.tree)
        if method is None or tree not in self._season.orchard.trees:
            return None
        session = _session(visit.when, visit.ended, visit.pause_minutes or 0)
        return Piece(method, (tree,), visit.person, visit.moment.day, session, None, 1, None)

    def _line(self, method: str, found: _Sum) -> CostLine:
        bags = self._bags() if method == BAGGING else None
        return CostLine(
            method=method,
            trees=len(found.trees),
            minutes=edge(sum(found.minutes.values())) if found.timed else None,
            timed=found.timed,
            untimed=found.untimed,
            open_ends=found.open_ends,
            people=len(found.people),
            money=self._money(method, found, bags),
            bags=edge_if_known(bags),
        )

    def _bags(self) -> float:
        bags = self._season.treatments.bags.items()
        return sum(one.put_on for tree, one in bags if self._season.looked_at(tree))

    def _money(self, method: str, found: _Sum, bags: float | None) -> float | None:
        """What was noted, and for bags their price; None where nothing says."""
        prices = [one.unit_cost for one in self._season.records.all(OwnMethod) if one.key == method]
        price = next((one for one in prices if one is not None), None)
        of_bags = bags * price if bags and price is not None else None
        told = [one for one in (found.money, of_bags) if one is not None]
        return edge(sum(told)) if told else None


def _note(found: _Sum, piece: Piece, trees: list[str]) -> None:
    found.trees |= {tree for tree in trees if tree}
    found.people.add(piece.person)
    found.timed += piece.timed
    found.untimed += not piece.timed
    if not piece.timed:
        found.untimed_trees |= set(trees)
    found.open_ends += piece.session is not None and piece.session.end is None
    if piece.cost is not None:
        found.money = (found.money or 0.0) + piece.cost * len(trees) / piece.shared_by
        for tree in trees:
            found.money_of[tree] = found.money_of.get(tree, 0.0) + piece.cost / piece.shared_by


def _minutes_of_each(pieces: Iterable[Piece]) -> Iterator[tuple[Piece, float]]:
    """Person-minutes of each piece that has any; one person's sessions of a day are united."""
    of_person: dict[tuple[str, date | None], list[Piece]] = {}
    for piece in pieces:
        if piece.typed is not None:
            yield piece, piece.typed
        elif piece.session is not None:
            of_person.setdefault((piece.person, piece.day), []).append(piece)
    for _, own in sorted(of_person.items(), key=lambda item: (item[0][0], str(item[0][1]))):
        found = worked([piece.session for piece in own if piece.session])
        for piece, minutes in zip(own, found.each, strict=True):
            yield piece, minutes * piece.people


def _session(when: str, ended: str | None, pause: float) -> Session | None:
    """None where there are no times; a visit that ends as it begins was told of later and has no duration."""
    start, end = parse_when(when).instant, parse_when(ended).instant if ended else None
    if start is None or (ended and end is None) or (end is not None and end <= start):
        return None
    begun = _minute(start)
    return Session(begun, None if end is None else max(begun, _minute(end) - pause))


def _minute(moment: datetime) -> float:
    return moment.timestamp() / 60

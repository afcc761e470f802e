"""What one visit at picking found, shown when it is done: the damaged share of this tree with its range. Writes nothing.

The range speaks of this tree only; what a method does is the season's question.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from mobile.workflows.tally import number_in_words
from mobile.workflows.tree_visit import AtTree
from shared_models.calculations.proportions import upper_bound_when_none, wilson
from shared_models.language import say
from shared_models.report_words import named
from shared_models.season.scores import Scores
from shared_models.season_records import TallyCount
from shared_models.vocabulary import AllScored, Certainty, Fruit, Tallied

# More fruit of one tree than this tells little more of it than the next tree would (likeness 0.10 of its fruit
# makes about ten independent ones at most: 1/0.10; thirty a tree is this project's convention).
ENOUGH_OF_ONE_TREE = 30


class ToldOfPick(Protocol):
    """What was said of a pick."""

    @property
    def total(self) -> int | None:
        """Fruit picked in all."""

    @property
    def weight_kg(self) -> float | None:
        """Weight picked in all [kg]."""

    @property
    def fruit_per_kg(self) -> float | None:
        """Fruit in a kilogram [1/kg]."""

    @property
    def all_scored(self) -> AllScored:
        """Whether all picked fruit was scored."""

    @property
    def total_certainty(self) -> Certainty:
        """How the total was come by."""

    @property
    def taken_by_others(self) -> int | None:
        """Fruit that was eaten, or taken by deer or wind."""


@dataclass(frozen=True, slots=True)
class PartResult:
    """One part and source of the visit: counts, the share of damaged fruit with its 95 % range, and picked in all.

    `share`, `low` and `high` [0..1] are None where nothing was scored. `name` is the cultivar of a graft, empty for
    the whole tree. `told` is what was said of its pick so far.
    """

    place: str
    name: str
    cover: str
    source: str
    damaged: float
    deep: float | None
    scored: float
    not_sure: float
    share: float | None
    low: float | None
    high: float | None
    picked_in_all: float | None
    sentence: str
    told: ToldOfPick | None = None


@dataclass(frozen=True, slots=True)
class PickingResult:
    """The visit when it is done: its parts, bagged and bare apart, what would tell more, what was noted of single fruit."""

    at: AtTree
    parts: tuple[PartResult, ...]
    tell_more: str
    noted: str = ""


def result_of(
    at: AtTree,
    tallies: Sequence[TallyCount],
    picks: Mapping[tuple[str, str], ToldOfPick],
    name_of: Callable[[str], str],
    noted: str = "",
) -> PickingResult:
    """The result of a visit from its tallies, what was said of its picks, and the name of each part of the tree."""
    scores: dict[tuple[str, str, str], Scores] = {}
    for count in tallies:
        if count.what == Tallied.FRUIT:
            scores.setdefault((count.place, count.cover, count.source), Scores()).add(count)
    parts = [_part(key, name_of(key[0]), found, picks.get(key[:2])) for key, found in sorted(scores.items())]
    return PickingResult(at, tuple(parts), _tell_more(parts), noted)


def _part(key: tuple[str, str, str], name: str, scores: Scores, pick: ToldOfPick | None) -> PartResult:
    place, cover, source = key
    damaged, scored = max(0.0, scores.damaged), max(0.0, scores.scored)
    limits = wilson(min(damaged, scored), scored) if scored else None
    in_all = _in_all(pick, scored) if pick and source == "picked" else None
    return PartResult(
        place,
        name,
        cover,
        source,
        damaged,
        scores.deep,
        scored,
        max(0.0, scores.of(Fruit.NOT_SURE)),
        damaged / scored if scored else None,
        limits.low if limits else None,
        limits.high if limits else None,
        in_all,
        _sentence(_what(name, key), damaged, scored, in_all),
        pick,
    )


def _in_all(pick: ToldOfPick, scored: float) -> float | None:
    if pick.total is not None:
        return float(pick.total)
    if pick.weight_kg is not None and pick.fruit_per_kg is not None:
        return pick.weight_kg * pick.fruit_per_kg
    return scored if pick.all_scored is AllScored.YES else None


def _what(name: str, key: tuple[str, str, str]) -> str:
    _, cover, source = key
    return ", ".join([*([name] if name else []), named(source), named(cover)])


def _sentence(what: str, damaged: float, scored: float, in_all: float | None) -> str:
    if not scored:
        return say("{what}: nothing was scored.", what=what)
    limits = wilson(min(damaged, scored), scored)
    share = say(
        "{what}: {damaged} of {scored} damaged: {share} %, likely {low}–{high} %, on this tree.",
        what=what,
        damaged=number_in_words(damaged),
        scored=number_in_words(scored),
        share=round(100 * damaged / scored),
        low=round(100 * limits.low),
        high=round(100 * limits.high),
    )
    return " ".join([share, *_none_found(damaged, scored), *_of_all(in_all)])


def _none_found(damaged: float, scored: float) -> list[str]:
    if damaged:
        return []
    most = upper_bound_when_none(scored)
    return [say("None found is not none there: up to {most} % may still be.", most=f"{100 * most:.1f}")]


def _of_all(in_all: float | None) -> list[str]:
    return [] if in_all is None else [say("Picked in all: {number}.", number=number_in_words(round(in_all)))]


def _tell_more(parts: Sequence[PartResult]) -> str:
    scored = max((part.scored for part in parts if part.source == "picked"), default=0)
    if scored < ENOUGH_OF_ONE_TREE:
        return say(
            "{more} more from this tree would tell more of it; for a method, better one more tree.",
            more=number_in_words(ENOUGH_OF_ONE_TREE - scored),
        )
    return say("Enough of this tree: one more tree tells more than more of its fruit.")

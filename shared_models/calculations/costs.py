"""Hours of people at work, and what a fruit saved cost. Knows times and numbers; no methods, no records.

"Two helpers in the same half hour worked an hour; one person in two overlapping sessions worked it once."
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

IDLE_MINUTES = 15.0  # a pause longer than this is no work (a convention of this project)


@dataclass(frozen=True, slots=True)
class Session:
    """One stretch of work of one person: from and to [minutes from any common start]; `to` None: it was never ended."""

    start: float
    end: float | None


@dataclass(frozen=True, slots=True)
class Worked:
    """Minutes of work in all, and what each session contributes in the order given; overlaps are shared out.

    `open_ends` are sessions that were never ended.
    """

    minutes: float
    each: tuple[float, ...]
    open_ends: int


@dataclass(frozen=True, slots=True)
class PerFruitSaved:
    """Minutes (or money) for each fruit that was saved. None: it saved none as far as is known; `high` infinite: no
    upper limit."""

    cost: float | None
    low: float
    high: float


def worked(sessions: Iterable[Session], idle: float = IDLE_MINUTES) -> Worked:
    """Time that ONE person worked, sessions that overlap counted once.

    A session that was never ended lasts until the next one begins, and at most `idle` minutes: what is beyond is
    not known and not counted.

    Args:
        sessions: in any order [minutes from a common start].
        idle: longest time that counts without another touch [minutes].
    Returns:
        Minutes of work, what each session contributes to them, and how many sessions had no end.
    Raises:
        ValueError: a session ends before it begins.
    Misleads:
        when a phone lay open while its owner did something else: a session with an end is believed.

    A quarter of an hour was left between two sessions, and the last was never ended:

    >>> worked([Session(0, 30), Session(20, 40), Session(55, None)])
    Worked(minutes=55.0, each=(24.0, 16.0, 15.0), open_ends=1)

    Source: union of intervals; the quarter of an hour is a convention of this project.
    """
    given = list(sessions)
    order = sorted(range(len(given)), key=lambda place: _key(given[place]))
    closed = _closed([given[place] for place in order], idle)
    each = [0.0] * len(given)
    for island in _islands(closed):
        spent = max(closed[one][1] for one in island) - closed[island[0]][0]
        alone = math.fsum(closed[one][1] - closed[one][0] for one in island)
        for one in island:
            start, end = closed[one]
            each[order[one]] = (end - start) * (spent / alone) if alone else 0.0
    return Worked(math.fsum(each), tuple(each), sum(1 for one in given if one.end is None))


def per_fruit_saved(cost: float, fruit: float, saved: float, low: float, high: float) -> PerFruitSaved:
    """What one fruit cost that would have been damaged without the method.

    Args:
        cost: minutes of work, or money, of the method on these trees [minutes or money].
        fruit: fruit that these trees bore in all [fruit].
        saved, low, high: difference of the damaged share to trees without it, with its limits; positive where it
            saved fruit [share of fruit].
    Returns:
        Cost by saved fruit with its range, from the limits of the difference [cost per fruit]: None where the
        method saved none; `high` infinite where it may have saved none.
    Raises:
        ValueError: a negative cost, or no fruit.
    Misleads:
        when the hours of only some helpers were recorded; and with an upper limit left out, which is most of it.

    Six hours on trees with 600 fruit, 20 of 100 fewer damaged (range 5 to 35):

    >>> per_fruit_saved(360, 600, 0.20, 0.05, 0.35)
    PerFruitSaved(cost=3.0, low=1.7142857142857142, high=12.0)
    >>> per_fruit_saved(360, 600, 0.02, -0.10, 0.14).high
    inf

    Source: own arithmetic; the limits are those of the difference, cost and fruit taken as known.
    """
    if not 0 <= cost < math.inf or not 0 < fruit < math.inf:
        raise ValueError(f"A cost of 0 or more and some fruit are needed, not {cost} and {fruit}.")
    return PerFruitSaved(
        cost=cost / (fruit * saved) if saved > 0 else None,
        low=cost / (fruit * high) if high > 0 else math.inf,
        high=cost / (fruit * low) if low > 0 else math.inf,
    )


def _key(session: Session) -> tuple[float, float]:
    return session.start, math.inf if session.end is None else session.end


def _islands(closed: Sequence[tuple[float, float]]) -> list[list[int]]:
    """Places of sessions that touch each other, in order of time."""
    found: list[list[int]] = []
    reach = -math.inf
    for place, (start, end) in enumerate(closed):
        if start >= reach:
            found.append([])
        found[-1].append(place)
        reach = max(reach, end)
    return found


def _closed(ordered: Sequence[Session], idle: float) -> list[tuple[float, float]]:
    found = []
    for place, one in enumerate(ordered):
        if one.end is not None and one.end < one.start:
            raise ValueError(f"A session cannot end ({one.end}) before it begins ({one.start}).")
        following = ordered[place + 1].start if place + 1 < len(ordered) else math.inf
        found.append((one.start, one.end if one.end is not None else min(following, one.start + idle)))
    return found

"""The degree-days of many days laid out one after another, so that any span is summed at once. Knows no seasons."""

from bisect import bisect_left
from collections.abc import Mapping
from datetime import date
from itertools import accumulate


class HeatLine:
    """Degree-days by day [°·day], from the first known day to the last; a missing day adds nothing and is counted.

    >>> line = HeatLine({date(2026, 5, day): 10.0 for day in (1, 2, 4, 5)})
    >>> line.sum(date(2026, 5, 2), date(2026, 5, 4)), line.missing(date(2026, 5, 2), date(2026, 5, 4))
    (20.0, 1)
    >>> str(line.reached(date(2026, 5, 1), 35))
    '2026-05-05'
    """

    def __init__(self, heat: Mapping[date, float]) -> None:
        self._start = min(heat).toordinal() if heat else 0
        end = max(heat).toordinal() if heat else -1
        each = [heat.get(date.fromordinal(day)) for day in range(self._start, end + 1)]
        known = [one or 0.0 for one in each]
        self._sums = [0.0, *accumulate(known)]
        self._gaps = [0, *accumulate(one is None for one in each)]
        self._rises = min(known, default=0.0) >= 0

    @property
    def last(self) -> date | None:
        """The last day that is known."""
        return date.fromordinal(self._start + len(self._sums) - 2) if len(self._sums) > 1 else None

    def sum(self, first: date, last: date) -> float:
        """The total of a span, both days included; missing days add nothing."""
        begin, end = self._span(first, last)
        return self._sums[end] - self._sums[begin]

    def missing(self, first: date, last: date) -> int:
        """How many days of a span have no degree-days, also before the first known day and after the last."""
        if last < first:
            return 0
        begin, end = self._span(first, last)
        return (last - first).days + 1 - (end - begin) + self._gaps[end] - self._gaps[begin]

    def reached(self, first: date, target: float) -> date | None:
        """The first day at whose end the sum since `first` has reached the target [°·day]; None where it never has.

        Over missing days the sum is a least sum, so the true day is this one or an earlier one.
        """
        begin, end = self._span(first, date.max)
        wanted = self._sums[begin] + target - 1e-9
        find = bisect_left if self._rises else _first_at_least
        place = find(self._sums, wanted, begin + 1, end + 1)
        return date.fromordinal(self._start + place - 1) if place <= end else None

    def _span(self, first: date, last: date) -> tuple[int, int]:
        """Places in the list of sums before the first day and after the last, kept within what is known."""
        most = len(self._sums) - 1
        begin = min(max(first.toordinal() - self._start, 0), most)
        end = min(max(last.toordinal() - self._start + 1, 0), most)
        return begin, max(begin, end)


def _first_at_least(values: list[float], wanted: float, begin: int, end: int) -> int:
    """Where sums can fall again, as with averages that subtract cool days, no search by halves is possible."""
    return next((place for place in range(begin, end) if values[place] >= wanted), end)

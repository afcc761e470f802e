"""The traps of a season report: each trap with its visits, and moths a trap and week over all traps of a garden."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from shared_models.calculations import trap_catch
from shared_models.season.catches import Catch, TrapCatch
from shared_models.season.report_parts import TrapLine, TrapVisitLine, TrapWeek
from shared_models.season.rounding import edge

DAYS_A_WEEK = 7
_Weeks = dict[tuple[str, str], tuple[float, float]]  # moths and trap-days by garden and week


def trap_line(trap: TrapCatch, garden: str) -> TrapLine:
    """One trap; the range is exact for a count and speaks of this trap only."""
    days = trap.trap_days
    found = trap_catch.rate(trap.catch, days) if days else None
    return TrapLine(
        trap=trap.trap,
        label=trap.label,
        garden=garden,
        caught_in_all=trap.caught_in_all,
        catch=trap.catch,
        trap_days=days,
        per_week=edge(found.rate * DAYS_A_WEEK) if found else None,
        low=edge(found.low * DAYS_A_WEEK) if found else None,
        high=edge(found.high * DAYS_A_WEEK) if found else None,
        visits=[_visit_line(one) for one in trap.visits],
    )


def trap_weeks(traps: Iterable[tuple[str, TrapCatch]]) -> list[TrapWeek]:
    """Moths a trap and ISO week, by garden name; each catch is spread evenly over the days that it was caught in."""
    caught: _Weeks = {}
    counted = [(garden, one) for garden, trap in traps for one in trap.visits]
    for garden, one in counted:
        for day in _days_of(one):
            _add(caught, (garden, _iso_week(day)), one.catch / (one.days or 1), 1)
    for garden, one in counted:
        if one.days == 0 and one.day:
            _add_on_its_day(caught, garden, one.day, one.catch)
    return [
        TrapWeek(
            garden=garden,
            week=week,
            catch=edge(moths),
            trap_days=days,
            per_trap_week=edge(trap_catch.per_week(moths, days)),
        )
        for (garden, week), (moths, days) in sorted(caught.items())
    ]


def _add(caught: _Weeks, week: tuple[str, str], moths: float, days: float) -> None:
    so_far = caught.get(week, (0.0, 0.0))
    caught[week] = (so_far[0] + moths, so_far[1] + days)


def _add_on_its_day(caught: _Weeks, garden: str, day: date, moths: int) -> None:
    """Moths of a second visit on one day. In a week without any trap-day they go with the night before it.

    Where that has none either there is no rate to add them to.
    """
    weeks = [(garden, _iso_week(one)) for one in (day, day - timedelta(days=1))]
    known = next((week for week in weeks if week in caught), None)
    if known:
        _add(caught, known, moths, 0)


def _visit_line(one: Catch) -> TrapVisitLine:
    return TrapVisitLine(
        visit=one.visit,
        day=one.day.isoformat() if one.day else None,
        state=one.state,
        raw=one.raw,
        catch=one.catch,
        days=one.days,
        per_week=edge(trap_catch.per_week(one.catch, one.days)) if one.days else None,
        double_of=one.double_of,
    )


def _days_of(one: Catch) -> Iterator[date]:
    """The nights of a catch, each given to its evening's day."""
    if one.day and one.days:
        for back in range(one.days, 0, -1):
            yield one.day - timedelta(days=back)


def _iso_week(day: date) -> str:
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"

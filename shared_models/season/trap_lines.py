"""The traps of a season report: each trap with its visits, and moths a trap and week over all traps of a garden."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from shared_models.calculations import trap_catch
from shared_models.season.catches import Catch, TrapCatch
from shared_models.season.report_parts import TrapLine, TrapVisitLine, TrapWeek
from shared_models.season.rounding import edge

DAYS_A_WEEK = 7


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
    caught: dict[tuple[str, str], tuple[float, float]] = {}
    for garden, trap in traps:
        for one in trap.visits:
            for day in _days_of(one):
                key = (garden, _iso_week(day))
                moths, days = caught.get(key, (0.0, 0.0))
                caught[key] = (moths + one.catch / (one.days or 1), days + 1)
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

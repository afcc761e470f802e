"""Today on a phone with years of visits, against two aggregates in SQL; what it must not do is read all of them."""

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

from mobile.settings import FILE
from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import begin, name_garden
from mobile.workflows.today import today_view
from mobile.workflows.traps import hang_trap
from mobile.workflows.trees import add_row
from shared_models.seasons import Hemisphere
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Work, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.sizes import Sizes

YEARS, TRAPS, TREES = range(2022, 2027), 10, 100
NOW = datetime(2026, 7, 10, 10, tzinfo=ZoneInfo("Europe/Rome"))
LAST_DAYS = """
    SELECT kind, coalesce(json_extract(fields, '$.tree'), json_extract(fields, '$.trap')) AS at, max(day)
    FROM record WHERE NOT deleted AND kind IN ('visit', 'trap_visit') GROUP BY kind, at
"""
NOTE = "Today on a phone with {visits} visits of five years; floor: the last day of each tree and trap by SQL"


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """What there is to see and to do."""
    with ExitStack() as open_files:
        phone = PhoneStore(folder / FILE, lambda: NOW)
        open_files.callback(phone.close)
        visits = _fill(phone, sizes.visits)
        driver = open_files.enter_context(raw_database(folder / FILE))
        times = in_turns(_turns(driver, phone, 3 * rounds))
    return [times.medians("today", "ms", MILLISECONDS, None, NOTE.format(visits=visits))]


def _turns(driver: sqlite3.Connection, phone: PhoneStore, turns: int) -> Iterator[tuple[Work, Work]]:
    for _ in range(turns):
        yield partial(_last_days, driver), partial(today_view, phone)


def _last_days(driver: sqlite3.Connection) -> None:
    driver.execute(LAST_DAYS).fetchall()


def _fill(phone: PhoneStore, visits: int) -> int:
    """Visits to trees and, one in five, to traps, spread over the summers."""
    begin(phone, "Keeper", "Europe/Rome")
    garden = name_garden(phone, "Hill (invented)", Hemisphere.NORTH).garden
    trees = add_row(phone, garden, TREES).trees
    traps = [hang_trap(phone, str(n), garden, since=date(2022, 4, 1)).trap for n in range(TRAPS)]
    drafts = [_visit(n, trees, traps) for n in range(visits)]
    for start in range(0, visits, 1000):
        phone.record_all(drafts[start : start + 1000])
    return visits


def _visit(n: int, trees: tuple[str, ...], traps: list[str]) -> Draft:
    day = str(date(YEARS[n % len(YEARS)], 4, 1) + timedelta(n // len(YEARS) % 100))
    if n % 5:
        said = {"tree": trees[n % TREES], "round": "drops" if n % 2 else "bagging", "when": day, "ended": day}
        return Draft("visit", said)
    counted = {"trap": traps[n // 5 % TRAPS], "when": day, "state": "counted", "moths": n % 4, "ended": day}
    return Draft("trap_visit", counted)

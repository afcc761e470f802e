"""The season's report from a phone's store, against one aggregate in SQL; and how its cost grows with the trees."""

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from mobile.bootstrap import started
from mobile.settings import FILE, Settings
from mobile.storage.phone_store import PhoneStore
from shared_models.reports import season_report
from tests.benchmarks.big_season import fill_with_season
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Times, Work, at_most, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.season_written import SEASON
from tests.benchmarks.sizes import Sizes

AGGREGATE = """
    SELECT json_extract(visit.fields, '$.tree') AS tree, mark.cover, mark.source, mark.marks, count(*)
    FROM mark JOIN record AS visit ON visit.group_id = mark.group_id AND visit.rec = mark.visit
    WHERE NOT mark.deleted AND NOT visit.deleted
    GROUP BY tree, mark.cover, mark.source, mark.marks
"""
NOTE = "season's records read and reported; floor: one SQL aggregate of marks by their visit's tree"
LINEAR = "time of a tree in the report of a season of {more} trees; floor: of {few} trees"
ALONG = at_most(1.3)


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The report of the smallest season, and what a tree costs in the larger ones."""
    few, *many = sizes.trees
    with ExitStack() as open_files:
        phones = {trees: _open(open_files, folder, trees, sizes.fruit) for trees in sizes.trees}
        driver = open_files.enter_context(raw_database(folder / str(few) / FILE))
        found = [_against_aggregate(in_turns(_reports(driver, phones[few], 3 * rounds)))]
        return found + [_growth(phones, few, more, rounds) for more in many]


def _open(open_files: ExitStack, folder: Path, trees: int, fruit: int) -> PhoneStore:
    """As the app opens it."""
    settings = Settings(folder / str(trees), "phone")
    settings.data.mkdir()
    fill_with_season(settings.file, trees, fruit)
    return open_files.enter_context(started(settings)).store


def _against_aggregate(times: Times) -> Ratio:
    return times.medians("season_table", "ms", MILLISECONDS, at_most(5), NOTE)


def _reports(driver: sqlite3.Connection, phone: PhoneStore, turns: int) -> Iterator[tuple[Work, Work]]:
    for _ in range(turns):
        yield partial(_aggregate, driver), partial(_report, phone)


def _growth(phones: dict[int, PhoneStore], few: int, more: int, rounds: int) -> Ratio:
    times = in_turns((partial(_report, phones[few]), partial(_report, phones[more])) for _ in range(rounds))
    each = Times([one / few for one in times.floor], [one / more for one in times.subject])
    note = LINEAR.format(few=few, more=more)
    return each.medians(f"season_table_{more}_trees", "ms a tree", MILLISECONDS, ALONG, note)


def _aggregate(driver: sqlite3.Connection) -> None:
    driver.execute(AGGREGATE).fetchall()


def _report(phone: PhoneStore) -> None:
    season_report(phone.season(SEASON))

"""The season's report from a phone's store, against one aggregate in SQL; and how its cost grows with the trees."""

import math
import sqlite3
from contextlib import ExitStack
from functools import partial
from itertools import pairwise
from pathlib import Path

from mobile.bootstrap import started
from mobile.settings import FILE, Settings
from mobile.storage.phone_store import PhoneStore
from shared_models.reports import season_report
from tests.benchmarks.big_season import fill_with_season
from tests.benchmarks.measuring import MILLISECONDS, Ratio, Times, at_most, in_turns
from tests.benchmarks.raw_sqlite import raw_database
from tests.benchmarks.season_written import SEASON
from tests.benchmarks.sizes import Sizes

AGGREGATE = """
    SELECT json_extract(visit.fields, '$.tree') AS tree, mark.cover, mark.source, mark.marks, count(*)
    FROM mark JOIN record AS visit ON visit.group_id = mark.group_id AND visit.rec = mark.visit
    WHERE NOT mark.deleted AND NOT visit.deleted
    GROUP BY tree, mark.cover, mark.source, mark.marks
"""
NOTE = "records of a season of {trees} trees read and reported; floor: one SQL aggregate of its marks by tree"
GROWTH = "report of {more} trees by n log n (n trees); floor: of {few} trees"
ALONG = at_most(1.3)
# So much of it is there for any season, however small: what the report says at all.
AGAINST_AGGREGATE = at_most(5)
ENOUGH_TO_COMPARE = 1_000  # trees; below, both are over before they have begun
ABSOLUTE = {30: 0.05, 2_000: 0.5, 20_000: 5.0}  # aims [s], for information: a time alone is no verdict


def measure(sizes: Sizes, rounds: int, folder: Path) -> list[Ratio]:
    """The report of each season against the bare aggregate, and how it grows from one to the next."""
    with ExitStack() as open_files:
        phones = {trees: _open(open_files, folder, trees, sizes.fruit) for trees in sizes.trees}
        drivers = {
            trees: open_files.enter_context(raw_database(folder / str(trees) / FILE)) for trees in phones
        }
        found = [_against_aggregate(trees, drivers[trees], phones[trees], rounds) for trees in phones]
        pairs = pairwise(sizes.trees)
        return found + [_growth(phones, few, more, rounds) for few, more in pairs]


def _open(open_files: ExitStack, folder: Path, trees: int, fruit: int) -> PhoneStore:
    """As the app opens it."""
    settings = Settings(folder / str(trees), "phone")
    settings.data.mkdir()
    fill_with_season(settings.file, trees, fruit)
    return open_files.enter_context(started(settings)).store


def _against_aggregate(trees: int, driver: sqlite3.Connection, phone: PhoneStore, rounds: int) -> Ratio:
    times = in_turns((partial(_aggregate, driver), partial(_report, phone)) for _ in range(rounds))
    note = NOTE.format(trees=trees) + (f"; aim {ABSOLUTE[trees]} s" if trees in ABSOLUTE else "")
    target = AGAINST_AGGREGATE if trees >= ENOUGH_TO_COMPARE else None
    return times.medians(f"season_table_{trees}_trees", "ms", MILLISECONDS, target, note)


def _growth(phones: dict[int, PhoneStore], few: int, more: int, rounds: int) -> Ratio:
    """What grows like n log n has the ratio 1."""
    times = in_turns((partial(_report, phones[few]), partial(_report, phones[more])) for _ in range(rounds))
    per = {trees: trees * math.log(max(2, trees)) for trees in (few, more)}
    each = Times([one / per[few] for one in times.floor], [one / per[more] for one in times.subject])
    note = GROWTH.format(few=few, more=more)
    return each.medians(f"season_growth_to_{more}_trees", "ms", MILLISECONDS, ALONG, note)


def _aggregate(driver: sqlite3.Connection) -> None:
    driver.execute(AGGREGATE).fetchall()


def _report(phone: PhoneStore) -> None:
    season_report(phone.season(SEASON))

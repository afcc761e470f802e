"""All doings of the invented seasons in order of time: who sets what up, who works where, and when phones share.

Records nothing. Phones share seldom and out of step; one has no signal from March until October.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from random import Random

from demo.diary import at
from demo.doings import AddHelper, AddRow, Doing, NameGarden, SaySameTree, Share
from demo.mishaps import with_mishaps
from demo.picking_days import drops_rounds, picking, picking_plan
from demo.place import HELPER, ROWS
from demo.trap_walks import trap_walks
from demo.treatments import KEEPER, treatments
from demo.truth import Tree

NO_SIGNAL_UNTIL = date(2026, 10, 4)
ONE_PAIR_ON, OTHER_PAIRS_ON = date(2026, 10, 5), date(2026, 10, 8)
LAST_SHARE = date(2026, 10, 12)


def _days(of_2026: str) -> tuple[date, ...]:
    """Days of 2026, written month-day."""
    return tuple(date(2026, *map(int, day.split("-"))) for day in of_2026.split())


SETS_UP = {"larkhollow": date(2026, 3, 14), "millward": date(2026, 3, 15), "tarnfold": date(2025, 9, 6)}
_SHARES = {
    "ansa": _days("3-14 4-26 6-7 7-5 7-26 9-13 9-30"),
    "brun": _days("3-20 4-27 6-7 6-14 7-4 7-20 8-30 9-27"),
    "coro": _days("3-15 4-28 6-30 9-6 9-20"),
    "dile": _days("3-20"),
    "emmo": (date(2025, 9, 6), date(2025, 12, 20), date(2026, 2, 22), date(2026, 4, 4)),
}


def work_of(trees: Sequence[Tree], chance: Random) -> list[Doing]:
    """Everything that people do in all gardens, by moment; what shares a moment keeps its order."""
    plan = picking_plan(trees, chance)
    compared = {tree.name for tree in trees if tree.recorded and tree.compared}
    doings = [
        *_setting_up(),
        *trap_walks(chance),
        *treatments(trees, chance),
        *drops_rounds(trees, plan, chance),
        *with_mishaps(list(picking(plan, chance)), compared),
        *_sharing(),
        *_one_row_again(trees),
    ]
    return sorted(doings, key=lambda doing: doing.moment.timestamp())


def _setting_up() -> Iterator[Doing]:
    """Each garden by its keeper; the row K by two phones, of which neither hears of the other."""
    for garden, day in SETS_UP.items():
        yield NameGarden(moment=at(KEEPER[garden], day, 9), phone=KEEPER[garden], garden=garden)
    yield AddHelper(moment=at("ansa", SETS_UP["larkhollow"], 10), phone="ansa", name=HELPER)
    for row in ROWS:
        keeper = KEEPER[row.garden]
        twice = row.prefix == "K"
        day = date(2026, 3, 22) if twice else SETS_UP[row.garden]
        for phone in (keeper, "dile") if twice else (keeper,):
            for half, first in enumerate((1, row.count // 2 + 1)):
                yield AddRow(
                    moment=at(phone, day, 11, half),
                    phone=phone,
                    garden=row.garden,
                    prefix=row.prefix,
                    first=first,
                    count=row.count // 2 if half == 0 else row.count - row.count // 2,
                    cultivar=row.cultivars[half],
                )


def _sharing() -> Iterator[Share]:
    for phone, days in _SHARES.items():
        for day in days:
            yield Share(moment=at(phone, day, 21), phone=phone)
    for phone, day in (("dile", NO_SIGNAL_UNTIL), ("coro", NO_SIGNAL_UNTIL + timedelta(days=1))):
        yield Share(moment=at(phone, day, 12), phone=phone)
    yield from _everybody_at_last()


def _everybody_at_last() -> Iterator[Share]:
    """Twice round: what the last phone brings has to come to the first one too."""
    for hour in (18, 20):
        for minute, phone in enumerate(("ansa", "coro", "brun", "dile", "emmo")):
            yield Share(moment=at("ansa", LAST_SHARE, hour, minute), phone=phone)


def _one_row_again(trees: Sequence[Tree]) -> Iterator[SaySameTree]:
    """The doubled row: first one pair is said to be one tree, some days later the other eleven."""
    doubled = [tree.name for tree in trees if tree.label.startswith("K")]
    for minute, tree in enumerate(doubled):
        day = ONE_PAIR_ON if minute == 0 else OTHER_PAIRS_ON
        yield SaySameTree(
            moment=at("coro", day, 19, minute), phone="coro", tree=tree, made_on=("coro", "dile")
        )

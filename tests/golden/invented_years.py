"""An invented group's entries for a golden log: every record kind, edits, undos, two halves of the earth, two phones.

Two northern gardens and a southern one, all invented. Written once for a release by `write.py`; a test never calls it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from itertools import chain
from typing import Any

from shared_models.entries import Entry
from shared_models.fold import fold
from shared_models.records.bag_checks import BagCheck
from tests.builders import FieldPhone

SUMMER, NEW_ZEALAND = timezone(timedelta(hours=2)), timezone(timedelta(hours=13))
UNKNOWN_KIND, NEVER_REACHED = "kind_of_no_release", 9999
"""A kind and a version that no release will ever have, so that a golden log keeps something to be kept unread."""


def invented_years() -> list[Entry]:
    """All entries in the order in which a server got them: Ada's, Ben's and the south's by turns."""
    ada, ben = _phone(2026, 4, 1, SUMMER), _phone(2026, 4, 1, SUMMER)
    south = _phone(2026, 9, 20, NEW_ZEALAND, "Pacific/Auckland")
    return _by_turns(list(_north(ada, ben)), list(_south(south)))


def _phone(year: int, month: int, day: int, offset: timezone, zone: str = "Europe/Rome") -> FieldPhone:
    return FieldPhone(datetime(year, month, day, 8, tzinfo=offset), zone)


def _by_turns(first: list[Entry], second: list[Entry]) -> list[Entry]:
    """Seven of the one, three of the other, as pushes come in."""
    parts = [first[at : at + 7] + second[at * 3 // 7 : at * 3 // 7 + 3] for at in range(0, len(first), 7)]
    mixed = list(chain.from_iterable(parts))
    return mixed + [entry for entry in second if entry not in mixed]


def _day(phone: FieldPhone, day: str, hour: int = 9) -> str:
    """Let the phone live on a day; returns the day."""
    phone.wall = datetime.fromisoformat(f"{day}T{hour:02}:00:00").replace(tzinfo=phone.wall.tzinfo)
    return day


# ---------------------------------------------------------------- the north
def _north(ada: FieldPhone, ben: FieldPhone) -> Iterator[Entry]:
    people = [ada.person("Ada (invented)"), ben.person("Ben (invented)")]
    hill = ada.garden("Hill (invented)", zone="Europe/Rome", lat=46.5, lon=11.25, elevation_m=300)
    vale = ben.garden("Vale (invented)", unmanaged_neighbours=True)
    yield from (*people, hill, vale, ben.edits(people[1], name="Ben, the neighbour (invented)"))
    trees = [ada.tree(hill, str(n), species="MABSD", size="semi_dwarf", order=n) for n in range(1, 10)]
    trees += [ben.tree(vale, f"V{n}", species="PYUCO", year_planted=2004 + n) for n in range(1, 4)]
    yield from trees
    for n, tree in enumerate(trees):
        yield ada.graft(tree, "Rubinette" if n % 2 else "Topaz", grafted_on="2012-03-15")
    again = ben.tree(hill, "9 again")
    yield from (again, ben.same_tree(trees[8], again))
    yield from _treated(ada, ben, hill, vale, trees)
    yield from _traps(ada, hill)
    yield from _warmth(ada, ben, hill, vale, trees)
    yield from _scored(ada, ben, trees)
    yield from _looked_after(ada, hill, vale, trees)
    yield from _contradicted(ada, ben, trees[0], hill)
    yield from _unreadable(ada, trees[1])


def _treated(
    ada: FieldPhone, ben: FieldPhone, hill: Entry, vale: Entry, trees: list[Entry]
) -> Iterator[Entry]:
    _day(ada, "2026-04-20")
    when = {"when": "2026-04-20"}
    yield ada.makes(
        "method", {"key": "own_clay", "name": "clay (invented)", "reach": "tree", "unit_cost": 1.5}
    )
    named = {**when, "season": "2026", "reason": "named before scoring"}
    yield ada.makes("planned_contrast", {**named, "a": ["bagging"], "b": ["untreated"]})
    yield ada.makes("planned_contrast", {**named, "with_method": "bagging"})
    for tree in trees[:3]:
        yield ada.untreated(tree, block="west")
    taken_back = ada.untreated(trees[3])
    yield from (taken_back, ada.undoes(taken_back))
    _day(ada, "2026-06-05")
    for tree in trees[3:6]:
        visit = ada.visit(tree, "bagging", took=60, left=15, material="paper", ladder=True)
        bags = [ada.bag(visit) for _ in range(3)]
        yield from (visit, *bags, ada.undoes(bags[2]))
    yield ada.makes(BagCheck.kind, {"when": "2026-07-10", "tree": trees[3].rec, "still_on": 40, "torn": 2})
    yield ada.job("own_clay", *trees[6:9], minutes=45, people=2, cost=12.5, partly=True)
    product = {
        "name": "Granules (invented)",
        "rate": "100 ml/ha",
        "pre_harvest_days": 3,
        "re_entry_hours": "until_dry",
    }
    _day(ben, "2026-06-10", 20)
    spray = ben.job("granulovirus", *trees[9:11], products=[product], water_l=8, bbch="72", wind_m_s=1.5)
    yield from (spray, ben.edits(spray, fold([spray]), temperature_c=19.5, operator="Ben", rain_after=False))
    yield ben.job("drops_round", garden=vale.rec, removed_damaged=True)
    yield ben.makes(
        "left_out", {"when": "2026-08-01", "tree": trees[11].rec, "season": "2026", "reason": "storm"}
    )


def _traps(ada: FieldPhone, hill: Entry) -> Iterator[Entry]:
    trap = ada.trap(hill, "T1", form="delta")
    placed = ada.makes(
        "placement", {"trap": trap.rec, "garden": hill.rec, "from_day": "2026-04-15", "height_m": 2}
    )
    yield from (trap, placed)
    for day, moths in (
        ("2026-05-02", 0),
        ("2026-05-09", 2),
        ("2026-05-16", 5),
        ("2026-05-23", 4),
        ("2026-06-20", 1),
    ):
        _day(ada, day, 19)
        yield ada.trap_visit(trap, moths, emptied=True, lure_type="ordinary", lure_load_mg=1)
    flooded = ada.makes("trap_visit", {"when": "2026-06-27", "trap": trap.rec, "state": "flooded"})
    wrong = ada.trap_visit(trap, 30, mode="on_liner", liner_changed=True, males=28, females=2)
    yield from (
        flooded,
        ada.trap_visit(trap, None),
        wrong,
        ada.edits(wrong, fold([wrong]), moths=3, reason="slip"),
    )


# ---------------------------------------------------------------- when
def _warmth(
    ada: FieldPhone, ben: FieldPhone, hill: Entry, vale: Entry, trees: list[Entry]
) -> Iterator[Entry]:
    for n in range(75):
        day = (datetime(2026, 4, 1) + timedelta(n)).date().isoformat()
        if n != 40:  # a day is missing
            said = {
                "garden": hill.rec,
                "when": day,
                "lowest": 4 + n % 9 / 2,
                "highest": 15 + n % 13,
                "unit": "C",
            }
            yield ada.makes(
                "day_temperature", said | ({"dusk": 14.5, "habit": "evening"} if n % 10 == 0 else {})
            )
        if n % 3 == 0:
            said = {
                "garden": vale.rec,
                "when": day,
                "lowest": 40 + n % 7,
                "highest": 66.5 + n % 11,
                "unit": "F",
            }
            yield ben.makes("day_temperature", said)
    yield ada.makes(
        "season_setting", {"garden": hill.rec, "season": "2026", "rule": "by_hand", "biofix": "2026-05-09"}
    )
    setting = ben.makes("season_setting", {"season": "2026", "fill": "interpolate", "cutoff": "horizontal"})
    yield from (setting, ben.edits(setting, fold([setting]), upper_c=31.1))
    for bbch, day in (("57", "2026-04-12"), ("61", "2026-04-18"), ("65", "2026-04-22"), ("69", "2026-05-01")):
        yield ada.makes("stage", {"when": day, "bbch": bbch, "garden": hill.rec, "cultivar": "Topaz"})
    yield ben.makes("stage", {"when": "2026-04-10", "bbch": "65", "tree": trees[10].rec})
    rule = ada.makes("due_rule", {"key": "lure_age", "value": 30})
    yield from (rule, ada.edits(rule, fold([rule]), off=True), ada.edits(rule, off=False))
    notice = ben.makes("notice_choice", {"about": vale.rec, "flight": False})
    yield from (notice, ben.edits(notice, fold([notice]), flight=True))


# ---------------------------------------------------------------- scored
def _scored(ada: FieldPhone, ben: FieldPhone, trees: list[Entry]) -> Iterator[Entry]:
    for n, tree in enumerate(trees):
        phone = ben if n >= 9 else ada
        _day(phone, f"2026-09-{8 + n // 4:02}")
        cover = "bagged" if 3 <= n < 6 else "none"
        pick = phone.pick(tree, total=90, weight_kg=14.2, all_scored="no", cover=cover)
        visit = phone.visit(tree, pick=pick.rec, ended=phone.now(), pause_minutes=5)
        yield from (pick, visit)
        yield from _fruit(phone, visit, n, cover)
    yield ada.makes("cut_sample", {"when": "2026-09-09", "tree": trees[0].rec, "cut": 20, "found": 4})
    told = {
        "when": "2026-09-09",
        "second": ben.person_id,
        "first_marks": ["clean", "sting"],
        "tree": trees[0].rec,
    }
    scores = ada.makes("double_score", told | {"second_marks": ["clean", "deep_entry"]})
    yield from (scores, ada.undoes(scores), ada.redoes(scores))


def _fruit(phone: FieldPhone, visit: Entry, tree: int, cover: str) -> Iterator[Entry]:
    """Marks, numbers and an adjustment; more damage where nothing was done. One mark is undone twice, one redone."""
    damaged = 6 if tree < 3 else 1
    marks = [phone.mark(visit, "clean", cover=cover) for _ in range(8)]
    marks += [
        phone.mark(visit, "deep_entry", cover=cover, entered_at="calyx", larva_found=True)
        for _ in range(damaged)
    ]
    yield from (
        *marks,
        phone.undoes(marks[0]),
        phone.undoes(marks[0]),
        phone.undoes(marks[1]),
        phone.redoes(marks[1]),
    )
    number = phone.number(visit, 30, "clean", cover=cover)
    more = phone.number(
        visit, 5, "sting", "other_insect", source="drop", certainty="estimated", low=3, high=8
    )
    yield from (number, more, phone.edits(number, fold([number]), n=31))
    if tree % 4 == 0:
        yield phone.adjustment(visit, -2, "clean", cover=cover)


def _looked_after(ada: FieldPhone, hill: Entry, vale: Entry, trees: list[Entry]) -> Iterator[Entry]:
    note = ada.makes(
        "note", {"when": "2026-08-02", "text": "Hagel, “grêle”, град – 冰雹 (invented)", "about": hill.rec}
    )
    yield from (note, ada.edits(note, fold([note]), text="Hail at noon (invented)\nsecond line"))
    for when in ("unknown", "2026-03-01/2026-03-20", "2026-07-01T06:30:00+02:00"):
        yield ada.makes("note", {"when": when, "text": f"told of {when} (invented)", "about": trees[2].rec})
    yield ada.job("pruning", *trees[:2], when="2026-02-15", minutes=60, season="2026")
    yield ada.edits(trees[7], fold([trees[7]]), removed_on="2026-11-01", retired=True)
    yield ada.edits(vale, name="Vale garden (invented)")


# ---------------------------------------------------------------- what is not plain
def _contradicted(ada: FieldPhone, ben: FieldPhone, tree: Entry, hill: Entry) -> Iterator[Entry]:
    """Both change one field without having seen the other's; one of them with a clock that is a year behind."""
    seen = fold([tree])
    yield from (
        ada.edits(tree, seen, label="1 a", form="spindle"),
        ben.edits(tree, seen, label="1 b", size="dwarf"),
    )
    slow = FieldPhone(datetime(2025, 7, 1, 8, tzinfo=SUMMER))
    yield slow.edits(
        hill, name="Hill, said by a slow clock (invented)", note="kept, since nobody else said it"
    )
    yield ada.edits(
        ada.makes("note", {"when": "unknown", "text": "never sent"}), text="An edit without its beginning"
    )


def _unreadable(ada: FieldPhone, tree: Entry) -> Iterator[Entry]:
    """A kind that nobody knows, a version that no release has, fields that no kind has."""
    for n in range(3):
        yield ada.makes(
            UNKNOWN_KIND, {"when": "2026-05-01", "length_m": 3.25 * n, "nested": {"a": [1, None, True]}}
        )
    newer = ada.makes(
        "note", {"when": "2026-05-02", "text": "from a later release (invented)", "mood": "good"}
    )
    later_edit = ada.edits(tree, order=99, label="from a later release")
    yield from (one.model_copy(update={"v": NEVER_REACHED}) for one in (newer, later_edit))
    yield ada.makes(
        "note", {"when": "2026-05-03", "text": "with a field of its own (invented)", "colour": {"r": 0.5}}
    )


# ---------------------------------------------------------------- the south
def _south(phone: FieldPhone) -> Iterator[Entry]:
    garden = phone.garden("Far hill (invented)", "south", zone="Pacific/Auckland", lat=-39.6, lon=176.8)
    trees = [phone.tree(garden, f"S{n}", species="MABSD") for n in range(1, 7)]
    yield from (phone.person("Cora (invented)"), garden, *trees)
    yield from (phone.untreated(tree, "2026/27") for tree in trees[:3])
    yield phone.job("netting", *trees[3:], when="2026-11-20", minutes=90)
    for n in range(50):
        day = (datetime(2026, 10, 1) + timedelta(n)).date().isoformat()
        said = {"garden": garden.rec, "when": day, "lowest": 6 + n % 5, "highest": 17.5 + n % 10, "unit": "C"}
        yield phone.makes("day_temperature", said)
    trap = phone.trap(garden, "S-T1")
    yield from (
        trap,
        phone.makes("placement", {"trap": trap.rec, "garden": garden.rec, "from_day": "2026-10-01"}),
    )
    for day, moths in (("2026-10-20", 1), ("2026-10-27", 3), ("2026-11-03", 6)):
        _day(phone, day, 18)
        yield phone.trap_visit(trap, moths, emptied=True)
    yield from _southern_picking(phone, trees)


def _southern_picking(phone: FieldPhone, trees: list[Entry]) -> Iterator[Entry]:
    for n, tree in enumerate(trees):
        _day(phone, "2027-02-20")
        more: dict[str, Any] = {"total": 60} if n % 2 else {"weight_kg": 9.5, "fruit_per_kg": 6.2}
        pick = phone.pick(tree, all_scored="no", **more)
        visit = phone.visit(tree, pick=pick.rec)
        yield from (pick, visit, phone.number(visit, 20, "clean"))
        yield from (phone.mark(visit, "sting" if n < 3 else "not_sure") for _ in range(4 if n < 3 else 1))

"""Invented seasons of a small group, as phones record them. Knows no server and no browser."""

from __future__ import annotations

from datetime import date, timedelta

from shared_models.entries import Entry
from shared_models.fold import fold
from tests.builders import MORNING, FieldPhone
from tests.shared_models.season.seasons import SmallSeason

SCRIPT_LABEL = "<script>document.title='taken'</script>"
EMOJI_LABEL = "🍎" * 60
RIGHT_TO_LEFT_LABEL = "שורה 3"
LONG_CULTIVAR = "Verylongcultivarnamewithoutanybreakinitwhichcannotbebroken60"
OVERRIDE_LABEL = "\N{RIGHT-TO-LEFT OVERRIDE}abc"


class InventedGarden(SmallSeason):
    """One garden of the group, marked as invented."""

    def __init__(self, name: str, hemisphere: str = "north") -> None:
        super().__init__(hemisphere)
        self.entries.clear()
        self.garden = self.keep(self.phone.garden(name, hemisphere))

    def row(self, *labels: str, cultivar: str = "") -> list[Entry]:
        """Trees with these labels, in walking order."""
        trees = [self.keep(self.phone.tree(self.garden, label)) for label in labels]
        for tree in trees if cultivar else []:
            self.keep(self.phone.graft(tree, cultivar))
        return trees

    def trap(self, label: str, first: date, moths: tuple[int | None, ...], days: int = 7) -> None:
        """A trap looked at every few days; no number is a visit on which nobody could count."""
        trap = self.keep(self.phone.trap(self.garden, label))
        for number, found in enumerate(moths):
            day = first + timedelta(days=days * number)
            self.keep(self.phone.trap_visit(trap, found, when=day.isoformat()))


def northern_season() -> list[Entry]:
    """2026: five methods mixes, a lone tree, one not recorded, one left out, a label on two trees, a trap."""
    hill = InventedGarden("Hillside (invented)")
    bagged = hill.row("H1", "H2", "H3", cultivar="Dawnlet")
    sprayed = hill.row("H4", "H5", "H6", "H7", cultivar="Tarnell")
    bare = hill.row("H8", "H9", "H10", "H11")
    netted, silent, broken, double = hill.row("H12", "H13", "H14", "H4")
    hill.untreated(*bare)
    hill.job("granulovirus", *sprayed, day="2026-06-01")
    hill.job("granulovirus", *sprayed, day="2026-06-12")
    hill.job("netting", netted)
    for number, tree in enumerate(bagged):
        box = hill.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0)
        hill.keep(box)
        hill.picked(tree, 30, number, cover="bagged", total=36)
        hill.picked(tree, 30, 8 + number, cover="bare", total=50)
    for number, tree in enumerate([*sprayed, *bare]):
        hill.picked(tree, 30, 3 * number, total=100 + number, day="2026-09-12")
    for tree in (netted, silent, broken):
        hill.picked(tree, 30, 0, total=60)
    hill.keep(
        hill.phone.makes(
            "left_out",
            {"tree": broken.rec, "season": "2026", "reason": "hail broke its crown", "when": "2026-08-01"},
        )
    )
    hill.untreated(double)
    moths = (0, 0, 1, 6, 9, 4, 2, None, 0, 3, 8, 7, 2, 0)
    hill.trap("T1", date(2026, 4, 20), moths)
    return hill.entries


def southern_season() -> list[Entry]:
    """2025/26 in the south: two methods and a trap from November to March."""
    south = InventedGarden("Southfield (invented)", "south")
    trees = south.row("S1", "S2", "S3", "S4")
    south.untreated(*trees[:2], day="2025-10-01", season="2025/26")
    south.job("kaolin_film", *trees[2:], day="2025-11-20")
    for number, tree in enumerate(trees):
        south.picked(tree, 30, 9 - 2 * number, day="2026-02-20", total=80)
    south.trap("T9", date(2025, 11, 3), (0, 2, 5, 3, 0, 1, 4, 6, 2, 0, 0, 1, 0, 0, 0, 2))
    return south.entries


def hostile_names() -> list[Entry]:
    """2026, in a garden whose names are text that could do harm or break a line."""
    garden = InventedGarden("<b>Bold</b> & “garden” (invented)")
    labels = (SCRIPT_LABEL, EMOJI_LABEL, RIGHT_TO_LEFT_LABEL, OVERRIDE_LABEL, "W" * 60)
    trees = garden.row(*labels, cultivar=LONG_CULTIVAR)
    garden.untreated(*trees)
    for number, tree in enumerate(trees):
        garden.picked(tree, 10, number, total=None, all_scored="no")
    garden.trap("<i>T</i>" + "M" * 50, date(2026, 5, 4), (0, 3, 5))
    return garden.entries


def small_season() -> list[Entry]:
    """2026: three trees, as somebody has who begins."""
    garden = InventedGarden("Back garden (invented)")
    one, two, three = garden.row("1", "2", "3", cultivar="Dawnlet")
    garden.untreated(one)
    garden.job("bagging", two)
    garden.keep(garden.phone.visit(two, "bagging", when="2026-06-05", took=50, left=10))
    garden.picked(one, 30, 11, total=60)
    garden.picked(two, 30, 1, cover="bagged", total=38)
    garden.picked(three, 12, 2)
    garden.trap("T1", date(2026, 5, 4), (0, 3, 5, 0, 0, 1))
    return garden.entries


def set_apart() -> list[Entry]:
    """2026: three trees of which two people said different things, an order of traps, and a trap counted by both."""
    garden = InventedGarden("Back garden (invented)")
    one, two, three = garden.row("1", "2", "3", cultivar="Dawnlet")
    garden.untreated(one)
    garden.job("bagging", two)
    garden.picked(one, 30, 11, total=60)
    garden.picked(two, 30, 1, cover="bagged", total=38)
    traps = [garden.keep(garden.phone.trap(garden.garden, label, order=1)) for label in ("T1", "T2")]
    day = {"when": "2026-05-04"}
    before = garden.keep(garden.phone.trap_visit(traps[0], 2, **day))
    people = FieldPhone(), FieldPhone(MORNING + timedelta(hours=2))
    for number, (phone, name) in enumerate(zip(people, ("Ada", "Bertram <i>of the mill</i>"), strict=True)):
        person = phone.person(name).model_copy(update={"id": phone.person_id, "rec": phone.person_id})
        garden.keep(person)
        garden.keep(phone.edits(one, fold([one]), label=(SCRIPT_LABEL, RIGHT_TO_LEFT_LABEL)[number]))
        garden.keep(phone.edits(three, fold([three]), species=("MABSD", "PYUCO")[number]))
        garden.keep(phone.edits(two, fold([two]), form=("W" * 100, "fan")[number]))
        for trap in traps:
            garden.keep(phone.edits(trap, fold([trap]), order=number + 2))
        count = {"previous": before.rec, "when": f"2026-05-1{number}"}
        garden.keep(phone.trap_visit(traps[0], 4 + number, **count))
    return garden.entries


def three_years() -> list[Entry]:
    """2024 to 2026: six treated trees and six untreated of one cultivar, two traps, named before scoring each year."""
    garden = InventedGarden("Orchard (invented)")
    trees = garden.row(*(f"O{number}" for number in range(1, 13)), cultivar="Dawnlet")
    for year in ("2024", "2025", "2026"):
        said = {"season": year, "with_method": "granulovirus", "when": f"{year}-08-01"}
        named = garden.phone.makes("planned_contrast", said)
        garden.keep(named.model_copy(update={"entered": f"{year}-08-01T09:00:00+02:00"}))
        garden.untreated(*trees[6:], day=f"{year}-05-01", season=year)
        for number, tree in enumerate(trees):
            if number < 6:
                garden.job("granulovirus", tree, day=f"{year}-06-01", minutes=30)
            garden.picked(tree, 30, number % 3 + (9 if number >= 6 else 1), day=f"{year}-09-10", total=100)
        for label in ("T1", "T2"):
            garden.trap(f"{label} {year}", date(int(year), 5, 3), (0, 3, 6))
    trap = garden.keep(garden.phone.trap(garden.garden, "T3"))
    for year, moths in (("2025", 8), ("2026", 4)):
        for number, day in enumerate(("05-04", "05-11", "05-18")):
            garden.keep(garden.phone.trap_visit(trap, moths if number else 0, when=f"{year}-{day}"))
    return garden.entries

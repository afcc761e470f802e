"""Two seasons told from beginning to end, one north with two phones, one south, with the numbers that come out."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.first_start import begin, name_garden
from mobile.workflows.moments import Told, between_days
from mobile.workflows.people import add_person
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import report_of, report_text
from mobile.workflows.tally import BAG_LOST, BAG_ON, BARE, Amount
from mobile.workflows.today import today_view
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from mobile.workflows.tree_plans import declare_untreated
from mobile.workflows.trees import add_row
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import AllScored, Fruit
from tests.mobile.phones import Phones, SetClock
from tests.mobile.workflows.exchanges import hears

ROME, AUCKLAND = ZoneInfo("Europe/Rome"), ZoneInfo("Pacific/Auckland")


def score(visit: PickingVisit, clean: int, sting: int = 0, deep: int = 0) -> None:
    """Fruit by fruit, as they come out of the crate."""
    for fruit, times in ((Fruit.CLEAN, clean), (Fruit.STING, sting), (Fruit.DEEP_ENTRY, deep)):
        for _ in range(times):
            visit.score(fruit)


def read(phone: PhoneStore, trap: str, moths: int) -> None:
    """A trap read and left."""
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(moths)
    at_trap.done()


def test_a_season_in_the_north_with_a_helper_and_a_second_phone(phones: Phones, clock: SetClock) -> None:
    clock.time = datetime(2026, 4, 20, 18, 0, tzinfo=ROME)
    ada = phones.open("ada.db", clock)
    begin(ada, "Ada", "Europe/Rome")
    garden = name_garden(ada, "Lower garden", Hemisphere.NORTH).garden
    trees = add_row(ada, garden, 6, cultivar="Early Red").trees
    trap = hang_trap(ada, "1", garden).trap
    bo = add_person(ada, "Bo")

    for days, moths in ((7, 0), (7, 0), (4, 3), (3, 5)):
        clock.move(days=days)
        read(ada, trap, moths)
    assert [due.sentence for due in today_view(ada).due] == []

    clock.time = datetime(2026, 6, 6, 9, 0, tzinfo=ROME)
    walk = BaggingRound(ada)
    walk.set_answer("two-layer paper", 22)
    mine = walk.open(trees[0])
    mine.took(60)
    clock.move(minutes=50)
    mine.left(12)
    mine.leave_beside_untreated()
    mine.done()
    helped = walk.open(trees[0], done_by=bo)
    helped.number(Amount.exactly(22))
    assert helped.done().on_tree == 70
    declare_untreated(ada, trees[2:4])

    cy = phones.begun("cy.db", clock)
    hears(cy, ada)
    clock.time = datetime(2026, 8, 1, 9, 0, tzinfo=ROME)
    drops = DropsVisit(cy, trees[0])
    drops.damaged(Amount.exactly(4))
    drops.undamaged(Amount.exactly(6))
    drops.done()
    for tree in trees[1:4]:
        DropsVisit(cy, tree).none()

    clock.time = datetime(2026, 9, 19, 10, 0, tzinfo=ROME)
    bagged = PickingVisit(cy, trees[0])
    bagged.from_part(BAG_ON)
    score(bagged, clean=55, sting=1)
    bagged.from_part(BAG_LOST)
    score(bagged, clean=3, deep=1)
    bagged.all_scored(AllScored.YES)
    bagged.from_part(BARE)
    score(bagged, clean=18, sting=4, deep=8)
    bagged.picked_in_all(90)
    shown = {part.cover: (part.damaged, part.scored) for part in bagged.done().parts}
    assert shown == {"bagged": (2, 60), "bare": (12, 30)}
    for tree, deep in zip(trees[1:4], (12, 9, 15), strict=True):
        untreated = PickingVisit(cy, tree)
        score(untreated, clean=30 - deep, deep=deep)
        untreated.picked_in_all(100)
        untreated.done()

    hears(ada, cy)
    report = report_of(ada, "2026")
    assert report == report_of(ada, "2026") and report.bags_put_on == 70
    by_label = {line.label: line for line in report.trees}
    assert by_label["1"].bags_put_on == 70
    assert {(part.cover, part.source, part.total) for part in by_label["1"].parts} == {
        ("bagged", "picked", 60),
        ("bare", "picked", 90),
        ("none", "drop", 10),
    }
    assert [by_label[label].status for label in "123456"] == [*["compared"] * 4, *["not_recorded"] * 2]
    (flight,) = report.traps
    assert [visit.catch for visit in flight.visits] == [0, 0, 3, 5]
    assert "Early Red" in report_text(ada, "2026")


def test_a_season_in_the_south_over_new_year_and_a_change_of_clocks(phones: Phones, clock: SetClock) -> None:
    clock.time = datetime(2026, 9, 26, 18, 0, tzinfo=AUCKLAND)  # clocks go forward in the night
    phone = phones.open("south.db", clock)
    begin(phone, "Aroha", "Pacific/Auckland")
    garden = name_garden(phone, "Far garden", Hemisphere.SOUTH, lat=-41.3, lon=174.8).garden
    tree, other = add_row(phone, garden, 2, prefix="R").trees
    trap = hang_trap(phone, "1", garden).trap

    clock.time = datetime(2026, 9, 27, 17, 30, tzinfo=AUCKLAND)
    read(phone, trap, 0)
    clock.time = datetime(2026, 10, 4, 17, 30, tzinfo=AUCKLAND)
    read(phone, trap, 7)
    declare_untreated(phone, [tree])

    clock.time = datetime(2027, 3, 20, 9, 0, tzinfo=AUCKLAND)
    late = Told(when=between_days(phone, date(2027, 3, 4), date(2027, 3, 6)))
    picked = PickingVisit(phone, tree, late)  # entered two weeks late
    score(picked, clean=20, sting=10)
    picked.all_scored(AllScored.YES)
    picked.done()
    PickingVisit(phone, other, Told(when="2026-03-01")).score(Fruit.CLEAN)  # the season before

    report = report_of(phone, "2026/27")
    assert (report.hemisphere, report.scored.sting, report.scored.clean) == (Hemisphere.SOUTH, 10, 20)
    (moths,) = report.traps
    assert [(visit.day, visit.catch, visit.days) for visit in moths.visits] == [
        ("2026-09-27", 0, 1),
        ("2026-10-04", 7, 7),
    ]
    assert [warned.count for warned in report.warnings if warned.code == "LATE_ENTRIES"] == [
        2
    ]  # visit and pick
    assert report_of(phone, "2025/26").scored.clean == 1
    assert [line.tree for line in report.untreated] == [tree]

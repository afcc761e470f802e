"""The history: by the day things happened, filtered, with what was undone still in sight."""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.corrections import correct, undo
from mobile.workflows.history import Wanted, lines
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person, name_of
from mobile.workflows.picking import PickingVisit
from mobile.workflows.scoring_checks import cut_open, score_twice
from mobile.workflows.tally import WHOLE, Amount, Part
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.tree_plans import declare_untreated, leave_out
from mobile.workflows.trees import add_graft, add_tree, say_same
from shared_models.vocabulary import Fruit
from tests.mobile.phones import SetClock


def sentences(phone: PhoneStore, wanted: Wanted | None = None) -> list[str]:
    """What the history says, newest first."""
    return [line.sentence for line in lines(phone, wanted)]


def me(phone: PhoneStore) -> str:
    """The name of this phone's person."""
    assert phone.identity is not None
    return name_of(phone, phone.identity.person)


def test_late_entries_stand_at_the_day_they_happened(
    phone: PhoneStore, trap: str, row: tuple[str, ...]
) -> None:
    TrapRound(phone).open(trap).number(3)
    record_job(phone, "netting", trees=row[:2], told=Told(when="2026-08-29"))
    PickingVisit(phone, row[0], Told(when="2026-08-30")).score(Fruit.CLEAN)
    BaggingRound(phone, Told(when="2026-06-05/2026-06-07")).open(row[1]).number(Amount.exactly(9))
    found = lines(phone)
    assert [line.sentence for line in found] == [
        "Trap 1: 3 moths",
        "Picking, tree 1: 1 fruit",
        "Pick of tree 1: in all not said",
        "netting: 1, 2",
        "Bagging, tree 2: 9 bags",
    ]
    assert [line.late_days for line in found] == [0, 13, 13, 14, 97]
    assert found[-1].in_words == "between Friday 5 June and Sunday 7 June"


def test_it_is_filtered_by_tree_trap_person_and_kind(
    phone: PhoneStore, garden: str, trap: str, row: tuple[str, ...], clock: SetClock
) -> None:
    bo = add_person(phone, "Bo")
    TrapRound(phone).open(trap, Told(done_by=bo)).none()
    clock.move(minutes=5)
    record_job(phone, "netting", trees=row[:2])
    record_job(phone, "trunk_band", trees=row[1:3], told=Told(done_by=bo))
    declare_untreated(phone, [row[5]])
    leave_out(phone, row[4], "young")
    assert sentences(phone, Wanted(tree=row[0])) == ["netting: 1, 2"]
    assert sentences(phone, Wanted(trap=trap)) == ["Trap 1: 0 moths"]
    assert sentences(phone, Wanted(person=bo)) == ["trunk band: 2, 3", "Trap 1: 0 moths"]
    assert sentences(phone, Wanted(kind="plan_line")) == ["Tree 6 left untreated in 2026"]
    assert sentences(phone, Wanted(kind="left_out")) == ["Tree 5 left out of 2026: young"]
    same = add_tree(phone, "1", garden).trees[0]
    say_same(phone, row[0], same)
    assert sentences(phone, Wanted(tree=same)) == ["netting: 1, 2"]


def test_what_was_undone_is_still_in_sight_and_corrections_are_counted(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    first = str(TrapRound(phone).open(trap, Told(when="2026-09-01")).number(3).visit)
    second = str(TrapRound(phone).open(trap, Told(when="2026-09-05")).number(8).visit)
    undo(phone, second)
    correct(phone, first, "typing", moths=4)
    assert [(line.rec, line.undone, line.corrected) for line in lines(phone)] == [
        (second, True, 0),
        (first, False, 1),
    ]


def test_what_nobody_can_date_comes_first_so_that_it_is_seen(phone: PhoneStore, tree: str) -> None:
    record_job(phone, "netting", trees=[tree], told=Told(when="unknown"))
    record_job(phone, "trunk_band", trees=[tree])
    first, _ = lines(phone)
    assert (first.sentence, first.in_words, first.late_days) == ("netting: 7", "day not known", None)


def test_the_list_can_be_kept_short(phone: PhoneStore, tree: str) -> None:
    for day in range(1, 8):
        record_job(phone, "netting", trees=[tree], told=Told(when=f"2026-09-0{day}"))
    assert [line.when for line in lines(phone, limit=2)] == ["2026-09-07", "2026-09-06"]


def test_what_checks_the_scoring_stands_in_it_and_is_filtered(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    bo = add_person(phone, "Bo")
    score_twice(phone, row[2], bo, [Fruit.CLEAN] * 20, [Fruit.CLEAN] * 20, Told("2026-09-01"))
    cut_open(phone, row[2], 25, 1, Told("2026-09-02"))
    twice = f"Tree 3: 20 fruit scored by {me(phone)} and Bo"
    assert sentences(phone) == ["Tree 3: 25 clean-looking fruit cut, an entry in 1", twice]
    assert sentences(phone, Wanted(kind="double_score")) == [twice] == sentences(phone)[1:]
    assert sentences(phone, Wanted(tree=row[3])) == []


def test_fruit_of_several_cultivars_is_told_apart(phone: PhoneStore, row: tuple[str, ...]) -> None:
    graft = add_graft(phone, row[2], "Late Green")
    visit = PickingVisit(phone, row[2])
    visit.from_part(Part(graft))
    visit.number(Fruit.CLEAN, Amount.exactly(8))
    visit.picked_in_all(30)
    visit.from_part(WHOLE)
    visit.number(Fruit.STING, Amount.exactly(4))
    found = sentences(phone)
    assert "Picking, tree 3: 12 fruit: 8 Late Green, 4 not told apart" in found
    assert "Pick of tree 3, Late Green: 30 in all" in found

"""Mending: both versions stay, tallies of others are adjusted and never set, whole visits move."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import adjust, correct, move_to_trap, move_to_tree, redo, undo
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import report_of
from mobile.workflows.tally import BAG_LOST, BAG_ON, BAG_TAKEN_OFF, BARE, WHOLE, Amount, Part
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap
from mobile.workflows.tree_plans import leave_out
from mobile.workflows.trees import add_graft
from mobile.workflows.versions import versions
from shared_models.errors import BadInputError, NotAllowedError
from shared_models.records.tallies import Adjustment, Pick, TallyMark, Visit
from shared_models.records.traps import TrapVisit
from shared_models.vocabulary import Cover, Fruit, Source
from tests.mobile.phones import SetClock
from tests.mobile.workflows.exchanges import hears


def counted(phone: PhoneStore, trap: str, moths: int, when: str | None = None) -> str:
    """A finished trap visit."""
    at_trap = TrapRound(phone).open(trap, Told(when=when))
    visit = str(at_trap.number(moths).visit)
    at_trap.done()
    return visit


def picked(phone: PhoneStore, tree: str, clean: int, sting: int = 0) -> str:
    """A finished picking visit."""
    visit = PickingVisit(phone, tree)
    for _ in range(clean):
        visit.score(Fruit.CLEAN)
    for _ in range(sting):
        visit.score(Fruit.STING)
    visit.picked_in_all(50)
    visit.done()
    return str(visit.visit)


def test_a_correction_keeps_both_versions_and_the_date(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    visit = counted(phone, trap, 14)
    clock.move(days=2)
    assert correct(phone, visit, "read the wrong line of the slip", moths=11).doubts == ()
    found = phone.get(TrapVisit, visit)
    assert found is not None and (found.moths, found.when) == (11, "2026-09-12T10:00:00+02:00")
    last = versions(phone, visit)[-1]
    assert [(one.field, one.before, one.after) for one in last.changes] == [("moths", 14, 11)]
    assert (last.reason, last.who) == ("read the wrong line of the slip", "Keeper of phone.db")
    assert last.entered == "2026-09-14T10:00:00+02:00"


def test_a_correction_may_move_the_date(phone: PhoneStore, trap: str) -> None:
    visit = counted(phone, trap, 14)
    correct(phone, visit, "it was the day before", when="2026-09-11")
    assert phone.get(TrapVisit, visit).when == "2026-09-11"  # type: ignore[union-attr]


def picked_in_parts(phone: PhoneStore, tree: str, when: str | None) -> PickingVisit:
    """A finished picking visit to a tree of which bagged and bare fruit were picked apart."""
    visit = PickingVisit(phone, tree, Told(when=when))
    for part, total in ((BAG_ON, 30), (BARE, 40)):
        visit.from_part(part)
        visit.score(Fruit.CLEAN)
        visit.picked_in_all(total)
    visit.done()
    return visit


STARTS = [None, "2026-09-12T08:00:00+02:00", "2026-09-12", "2026-09-08/2026-09-10", "unknown"]
CHANGES: list[dict[str, str]] = [
    {"when": "2026-09-05"},
    {"when": "2026-09-05T17:00:00+02:00"},
    {"when": "2026-09-01/2026-09-05"},
    {"season": "2025"},
    {"when": "2026-09-05", "season": "2025"},
]


@pytest.mark.parametrize("when", STARTS)
@pytest.mark.parametrize("changes", CHANGES)
def test_a_corrected_picking_visit_takes_the_picks_of_all_its_parts_along(
    phone: PhoneStore, tree: str, when: str | None, changes: dict[str, str]
) -> None:
    visit = picked_in_parts(phone, tree, when)
    correct(phone, str(visit.visit), "the wrong day", **changes)
    for record in [*phone.all(Pick), *phone.all(Visit)]:
        assert changes.items() <= record.model_dump().items() and record.reason == "the wrong day"
    assert len(phone.all(Pick)) == 2
    if changes.get("when", when) in ("unknown", "2026-09-01/2026-09-05", "2026-09-08/2026-09-10"):
        return  # without one day the report cannot tell which pick the fruit of a second part came from
    key = changes.get("season", "2026")
    (line,) = [line for line in report_of(phone, key).trees if line.parts]
    assert [(part.fruit.clean, part.total) for part in line.parts] == [(1, 30), (1, 40)]


@pytest.mark.parametrize("when", STARTS)
def test_after_a_correction_of_its_date_a_visit_still_knows_its_picks(
    phone: PhoneStore, row: tuple[str, ...], when: str | None
) -> None:
    visit = str(picked_in_parts(phone, row[0], when).visit)
    correct(phone, visit, "the wrong day", when="2026-09-05")
    move_to_tree(phone, visit, row[1], "the one beside it")
    assert {pick.tree for pick in phone.all(Pick)} == {row[1]}
    undo(phone, visit)
    assert phone.all(Pick) == []
    redo(phone, visit)
    assert len(phone.all(Pick)) == 2


def test_picks_of_other_visits_of_the_day_stay_where_they_are(
    phone: PhoneStore, neighbour: PhoneStore, tree: str
) -> None:
    hears(neighbour, phone)
    picked_in_parts(neighbour, tree, "2026-09-12")
    first, second = (picked_in_parts(phone, tree, "2026-09-12") for _ in range(2))
    hears(phone, neighbour)
    correct(phone, str(first.visit), "the wrong day", when="2026-09-05")
    stayed = {pick.rec for pick in phone.all(Pick) if pick.when == "2026-09-12"}
    named = phone.get(Visit, str(second.visit)).pick  # type: ignore[union-attr]
    assert named in stayed and {pick.rec for pick in neighbour.all(Pick)} <= stayed
    assert phone.get(Pick, phone.get(Visit, str(first.visit)).pick).when == "2026-09-05"  # type: ignore


def test_fruit_scored_later_from_the_store_leaves_the_day_of_its_picking(
    phone: PhoneStore, tree: str
) -> None:
    visit = str(picked_in_parts(phone, tree, "2026-09-01").visit)
    pick = str(phone.get(Visit, visit).pick)  # type: ignore[union-attr]
    correct(phone, pick, "picked earlier, scored from the store", when="2026-08-25")
    correct(phone, visit, "scored a day later", when="2026-09-02")
    assert phone.get(Pick, pick).when == "2026-08-25"  # type: ignore[union-attr]


def test_a_correction_that_says_nothing_of_date_or_season_leaves_the_picks_alone(
    phone: PhoneStore, tree: str
) -> None:
    visit = picked_in_parts(phone, tree, None)
    correct(phone, str(visit.visit), "a ladder after all", ladder=True)
    assert [pick.reason for pick in phone.all(Pick)] == [None, None]


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_correction_without_a_reason_is_refused(phone: PhoneStore, trap: str, reason: str) -> None:
    visit = counted(phone, trap, 14)
    with pytest.raises(BadInputError) as refused:
        correct(phone, visit, reason, moths=11)
    assert refused.value.field == "reason" and phone.get(TrapVisit, visit).moths == 14  # type: ignore[union-attr]


def test_a_correction_that_cannot_be_taken_changes_nothing(phone: PhoneStore, trap: str) -> None:
    visit = counted(phone, trap, 14)
    for changes in ({"moths": -1}, {"colour": "red"}, {}):
        with pytest.raises(BadInputError):
            correct(phone, visit, "typing", **changes)
    assert len(versions(phone, visit)) == 2  # the number, and the end


def test_a_reason_that_is_part_of_the_record_is_not_written_over(phone: PhoneStore, tree: str) -> None:
    (left_out,) = leave_out(phone, tree, "broken").records
    with pytest.raises(BadInputError, match="undo it, and record it anew"):
        correct(phone, left_out, "wrong year", season="2025")


def test_undo_and_redo_leave_their_traces(phone: PhoneStore, trap: str) -> None:
    visit = counted(phone, trap, 3)
    undo(phone, visit)
    undo(phone, visit)
    assert phone.get(TrapVisit, visit) is None
    redo(phone, visit)
    assert phone.get(TrapVisit, visit) is not None
    assert [(one.undid, one.redid) for one in versions(phone, visit)][-2:] == [(True, False), (False, True)]


def test_a_mark_of_another_phone_is_adjusted_and_not_undone(
    phone: PhoneStore, neighbour: PhoneStore, tree: str
) -> None:
    hears(neighbour, phone)
    visit = picked(neighbour, tree, clean=5, sting=4)
    hears(phone, neighbour)
    mark = phone.all(TallyMark)[0].rec
    with pytest.raises(
        NotAllowedError, match=r"tallied on another phone by Keeper of neighbour\.db"
    ) as refused:
        undo(phone, mark)
    assert "Adjust the tally by a difference" in str(refused.value)
    with pytest.raises(NotAllowedError):
        correct(phone, mark, "looked again", marks=["clean"])
    adjust(phone, visit, -2, "two stings were scab", fruit=Fruit.STING, source=Source.PICKED)
    adjust(phone, visit, 2, "two stings were scab", fruit=Fruit.OTHER, source=Source.PICKED)
    scored = report_of(phone, "2026").scored
    assert (scored.clean, scored.sting, scored.other) == (5, 2, 2)
    hears(neighbour, phone)
    assert report_of(neighbour, "2026") == report_of(phone, "2026")


def test_an_own_number_is_undone_and_corrected_like_any_record(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.number(Fruit.CLEAN, Amount.exactly(40))
    number = phone.history(1)[0].rec
    correct(phone, number, "typing", n=4)
    assert visit.view.counts[Fruit.CLEAN] == 4
    undo(phone, number)
    assert visit.view.counts[Fruit.CLEAN] == 0


@pytest.mark.parametrize(
    ("difference", "reason", "field"), [(0, "why", "n"), (3, " ", "reason"), (10**7, "why", "n")]
)
def test_an_adjustment_needs_a_difference_and_a_reason(
    phone: PhoneStore, tree: str, difference: int, reason: str, field: str
) -> None:
    visit = picked(phone, tree, clean=2)
    with pytest.raises(BadInputError) as refused:
        adjust(phone, visit, difference, reason, fruit=Fruit.CLEAN)
    assert refused.value.field == field


def test_an_adjustment_below_none_is_kept_shown_as_none_and_said(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.score(Fruit.STING)
    made = adjust(phone, str(visit.visit), -5, "not ours", fruit=Fruit.STING, source=Source.PICKED)
    assert "fewer than none" in made.notes[0]
    assert visit.view.counts[Fruit.STING] == 0 and report_of(phone, "2026").scored.sting == 0


PARTS = [WHOLE, BAG_ON, BAG_TAKEN_OFF, BARE, Part(place="side_south"), Part("side_south", Cover.BAGGED)]


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("source", list(Source))
@pytest.mark.parametrize("also", [None, Fruit.OTHER])
def test_a_difference_without_a_part_meets_the_fruit_of_its_mark(
    phone: PhoneStore, tree: str, part: Part, source: Source, also: Fruit | None
) -> None:
    visit = PickingVisit(phone, tree)
    visit.from_part(WHOLE)
    visit.score(Fruit.CLEAN)
    visit.from_part(part, source)
    for _ in range(5):
        visit.score(Fruit.STING)
        if also:
            visit.and_also(also)
    assert adjust(phone, str(visit.visit), -3, "three were scab", fruit=Fruit.STING).notes == ()
    assert visit.view.counts[Fruit.STING] == 2 and report_of(phone, "2026").scored.sting == 2
    assert "fewer than none" in adjust(phone, str(visit.visit), -3, "all", fruit=Fruit.STING).notes[0]


def test_a_difference_that_several_parts_could_take_asks_which(phone: PhoneStore, tree: str) -> None:
    graft = add_graft(phone, tree, "Late Green")
    visit = PickingVisit(phone, tree)
    parts = (BAG_ON, BAG_LOST, BARE, Part(place=graft))
    for part in parts:
        visit.from_part(part)
        visit.number(Fruit.STING, Amount.exactly(4))
    made = str(visit.visit)
    with pytest.raises(BadInputError) as refused:
        adjust(phone, made, -3, "three were scab", fruit=Fruit.STING)
    assert refused.value.field == "part" and phone.all(Adjustment) == []
    assert str(refused.value).startswith(
        "This fruit was tallied apart on this visit: Late Green, no bags, picked; bagged, bag lost or torn, picked; "
        "bagged, bag on, picked; bare, picked."
    )
    for part in parts:
        assert adjust(phone, made, -3, "three were scab", fruit=Fruit.STING, part=part).notes == ()
        assert visit.from_part(part).counts[Fruit.STING] == 1
    assert report_of(phone, "2026").scored.sting == 4


def test_a_difference_that_several_sources_could_take_asks_which(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    for source in (Source.PICKED, Source.REMOVED):
        visit.from_part(BARE, source)
        visit.number(Fruit.STING, Amount.exactly(4))
    with pytest.raises(BadInputError, match="bare, picked; bare, removed by hand") as refused:
        adjust(phone, str(visit.visit), -3, "three were scab", fruit=Fruit.STING)
    assert refused.value.field == "source"
    adjust(phone, str(visit.visit), -3, "three were scab", fruit=Fruit.STING, source=Source.REMOVED)
    assert visit.view.counts[Fruit.STING] == 1


def test_a_mark_that_was_not_tallied_yet_is_added_where_the_fruit_of_the_visit_was(
    phone: PhoneStore, tree: str
) -> None:
    visit = PickingVisit(phone, tree)
    visit.from_part(BAG_ON)
    visit.score(Fruit.CLEAN)
    adjust(phone, str(visit.visit), 2, "two were overlooked", fruit=Fruit.STING)
    assert visit.view.counts[Fruit.STING] == 2
    visit.from_part(BARE)
    visit.score(Fruit.CLEAN)
    with pytest.raises(BadInputError, match="Say which of them"):
        adjust(phone, str(visit.visit), 2, "two were overlooked", fruit=Fruit.OTHER)


def test_drops_are_adjusted_as_drops(phone: PhoneStore, tree: str) -> None:
    visit = DropsVisit(phone, tree)
    made = visit.damaged(Amount.exactly(9)).at.visit
    assert adjust(phone, str(made), -4, "counted again", fruit=Fruit.DAMAGED).notes == ()
    assert visit.view.damaged == 5


def test_that_was_another_tree_moves_marks_and_picks_as_one(phone: PhoneStore, row: tuple[str, ...]) -> None:
    visit = picked(phone, row[0], clean=3, sting=1)
    move_to_tree(phone, visit, row[1], "it was the one beside it")
    report = report_of(phone, "2026")
    parts = {line.label: [(part.fruit.clean, part.total) for part in line.parts] for line in report.trees}
    assert (parts["1"], parts["2"]) == ([], [(3, 50)])
    assert phone.all(Pick)[0].tree == row[1] and phone.all(Visit)[0].reason == "it was the one beside it"
    with pytest.raises(BadInputError, match="stands on tree 2 already"):
        move_to_tree(phone, visit, row[1], "again")


def test_that_was_another_trap_finds_its_place_there(phone: PhoneStore, garden: str, trap: str) -> None:
    other = hang_trap(phone, "2", garden).trap
    before = counted(phone, other, 2, "2026-09-01")
    counted(phone, trap, 1, "2026-09-01")
    visit = counted(phone, trap, 6, "2026-09-08")
    move_to_trap(phone, visit, other, "slips were swapped")
    moved = phone.get(TrapVisit, visit)
    assert moved is not None and (moved.trap, moved.previous) == (other, before)
    catches = {line.label: [one.catch for one in line.visits] for line in report_of(phone, "2026").traps}
    assert catches == {"1": [1], "2": [2, 6]}


def test_what_is_not_here_is_said(phone: PhoneStore, tree: str) -> None:
    for mending in (lambda: undo(phone, "nowhere"), lambda: move_to_tree(phone, tree, tree, "x")):
        with pytest.raises(BadInputError, match="not on this phone"):
            mending()

"""At picking: fruit by fruit, parts apart, no share while scoring, a range when done."""

from dataclasses import fields

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.corrections import redo, undo
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.picking import KEYS, PickingView, PickingVisit
from mobile.workflows.season import report_of
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.tally import BAG_LOST, BAG_ON, BARE, WHOLE, Amount, Part
from mobile.workflows.today import go_on
from mobile.workflows.trees import add_graft
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.records.gardens import PlanLine
from shared_models.records.tallies import Pick, TallyMark, Visit
from shared_models.vocabulary import AllScored, Certainty, Fruit, Source
from tests.mobile.phones import Phones, SetClock


def scored(visit: PickingVisit, **fruit: int) -> PickingView:
    """Touch each key so many times."""
    for key, times in fruit.items():
        for _ in range(times):
            visit.score(Fruit(key))
    return visit.view


def test_eight_of_thirty_damaged_is_27_percent_likely_14_to_44(phone: PhoneStore, tree: str) -> None:
    """Range: Wilson 1927; proportion_confint of statsmodels gives 0.1418 to 0.4445."""
    visit = PickingVisit(phone, tree)
    scored(visit, clean=20, sting=5, deep_entry=3, other=2)
    visit.picked_in_all(120)
    (part,) = visit.done().parts
    assert (part.damaged, part.deep, part.scored, part.picked_in_all) == (8, 3, 30, 120)
    assert (part.share, part.low, part.high) == pytest.approx((0.2667, 0.1418, 0.4445), abs=5e-5)
    assert part.sentence == (
        together("picked, no bags: 8 of 30 damaged: 27 %, likely 14–44 %, on this tree. Picked in all: 120.")
    )


def test_no_share_is_in_sight_while_scoring(phone: PhoneStore, tree: str) -> None:
    names = {field.name for field in fields(PickingView)}
    assert not names & {"share", "rate", "damaged", "low", "high"}
    assert scored(PickingVisit(phone, tree), sting=3, clean=2).counts[Fruit.STING] == 3


def test_the_six_keys_stand_always_in_the_same_places(phone: PhoneStore, tree: str) -> None:
    assert tuple(PickingVisit(phone, tree).view.counts) == KEYS
    assert [key.value for key in KEYS] == [
        "clean", "sting", "deep_entry", "other_insect", "other", "not_sure",
    ]  # fmt: skip


def test_a_second_mark_on_the_same_fruit_makes_no_second_fruit(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.score(Fruit.OTHER)
    view = visit.and_also(Fruit.STING)
    assert view.last_fruit == (Fruit.OTHER, Fruit.STING)
    assert (view.scored, view.counts[Fruit.STING], view.counts[Fruit.OTHER]) == (1, 1, 0)  # the worst counts
    assert visit.take_back().scored == 0


def test_a_clean_fruit_carries_no_second_mark(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    with pytest.raises(BadInputError, match="Score the fruit first"):
        visit.and_also(Fruit.STING)
    visit.score(Fruit.CLEAN)
    with pytest.raises(BadInputError, match="carries no second mark"):
        visit.and_also(Fruit.STING)
    assert visit.view.counts[Fruit.CLEAN] == 1 and phone.all(TallyMark)[0].marks == [Fruit.CLEAN]


def test_damaged_without_a_kind_is_no_key(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="sting or a deep entry"):
        PickingVisit(phone, tree).score(Fruit.DAMAGED)
    assert phone.all(Visit) == []


def test_not_sure_stands_outside_the_scored(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    view = scored(visit, clean=9, not_sure=1)
    assert (view.scored, view.not_sure) == (9, 1)
    assert visit.done().parts[0].scored == 9


def test_bagged_and_bare_fruit_of_one_tree_stay_apart(phone: PhoneStore, tree: str, clock: SetClock) -> None:
    BaggingRound(phone, Told(when="2026-06-05")).open(tree).number(Amount.exactly(40))
    visit = PickingVisit(phone, tree)
    assert "This tree has bags" in visit.view.warnings[0]
    visit.from_part(BAG_ON)
    scored(visit, clean=9, sting=1)
    visit.from_part(BAG_LOST)
    scored(visit, deep_entry=1)
    assert visit.all_scored(AllScored.YES).pick.all_scored is AllScored.YES
    visit.from_part(BARE)
    scored(visit, clean=6, deep_entry=4)
    visit.picked_in_all(80)
    result = {part.cover: part for part in visit.done().parts}
    assert (result["bagged"].damaged, result["bagged"].scored) == (2, 11)
    assert (result["bare"].damaged, result["bare"].scored, result["bare"].picked_in_all) == (4, 10, 80)
    (line,) = [one for one in report_of(phone, "2026").trees if one.parts]
    assert {(part.cover, part.total) for part in line.parts} == {("bagged", 11), ("bare", 80)}


def test_drops_and_fruit_taken_off_are_no_part_of_the_pick(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    scored(visit, clean=5)
    visit.picked_in_all(40)
    visit.from_part(visit.part, Source.DROP)
    scored(visit, deep_entry=2)
    assert [(part.source, part.scored, part.picked_in_all) for part in visit.done().parts] == [
        ("drop", 2, None),
        ("picked", 5, 40),
    ]
    assert len(phone.all(Pick)) == 1


@pytest.mark.parametrize(
    ("amount", "counts"), [(Amount.exactly(40), 40), (Amount.about(35), 35), (Amount.from_to(30, 41), 35.5)]
)
def test_many_at_once_count_as_said(phone: PhoneStore, tree: str, amount: Amount, counts: float) -> None:
    visit = PickingVisit(phone, tree)
    assert visit.number(Fruit.CLEAN, amount).counts[Fruit.CLEAN] == counts


def test_kilograms_become_fruit_only_with_fruit_per_kilogram(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    scored(visit, clean=10)
    visit.weighed(12.5)
    assert visit.done().parts[0].picked_in_all is None
    assert [doubt.field for doubt in phone.all(Pick)[0].doubts()] == ["fruit_per_kg"]
    visit.weighed(12.5, 8)
    assert visit.done().parts[0].picked_in_all == 100


def test_fewer_picked_than_scored_is_said_and_kept(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    scored(visit, clean=10)
    view = visit.picked_in_all(8)
    assert view.pick.total == 8 and "10 fruit are scored, but only 8" in view.warnings[-1]


def test_none_damaged_is_never_none_there(phone: PhoneStore, tree: str) -> None:
    """0 of 30: Wilson 0 to 11.4 %, one-sided bound 9.5 % (rule of three 10 %)."""
    visit = PickingVisit(phone, tree)
    visit.number(Fruit.CLEAN, Amount.exactly(30))
    (part,) = visit.done().parts
    assert (
        together("0 %, likely 0–11 %") in part.sentence
        and together("up to 9.5 % may still be") in part.sentence
    )


def test_nothing_scored_is_said_and_records_nothing(phone: PhoneStore, tree: str) -> None:
    result = PickingVisit(phone, tree).done()
    assert result.parts == () and phone.all(Visit) == []


def test_the_visit_its_pick_and_the_first_fruit_come_in_one_transaction(phone: PhoneStore, tree: str) -> None:
    PickingVisit(phone, tree).score(Fruit.CLEAN)
    (visit,), (pick,) = phone.all(Visit), phone.all(Pick)
    assert (visit.pick, pick.when, pick.tree, pick.all_scored) == (
        pick.rec,
        visit.when,
        tree,
        AllScored.NOT_SAID,
    )


def test_scoring_broken_off_goes_on_with_its_parts(
    phones: Phones, phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = PickingVisit(phone, tree)
    visit.from_part(BAG_ON)
    scored(visit, clean=3)
    visit.from_part(BARE)
    scored(visit, sting=2)
    phone.close()
    again = phones.open(clock=clock)
    went_on = go_on(again, again.all(Visit)[0].rec)
    assert isinstance(went_on, PickingVisit)
    view = went_on.from_part(BARE)
    assert (view.scored, view.last_fruit) == (5, (Fruit.STING,))
    went_on.picked_in_all(30)
    assert len(again.all(Pick)) == 2 and len(again.all(Visit)) == 1


def test_a_second_picking_of_the_day_is_a_second_visit_once_the_first_is_done(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    first = PickingVisit(phone, tree)
    scored(first, clean=2)
    first.done()
    clock.move(hours=5)
    scored(PickingVisit(phone, tree), clean=3)
    assert len(phone.all(Visit)) == len(phone.all(Pick)) == 2
    assert report_of(phone, "2026").scored.clean == 5


def test_picking_before_the_first_allowed_day_warns_with_the_arithmetic_and_records(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    """7 days from 1 September at any hour: not before 8 September; on the 6th it is 2 days too early."""
    mix = [FromLabel("Product one", pre_harvest_days=7), FromLabel("Product two", pre_harvest_days=3)]
    record_spray(phone, SprayTold("granulovirus", mix, trees=[tree], told=Told(when="2026-09-01")))
    early = PickingVisit(phone, tree, Told(when="2026-09-06"))
    view = early.score(Fruit.CLEAN)
    assert view.scored == 1
    assert view.warnings == (
        "Product one, Product two, sprayed on Tuesday 1 September: pre-harvest interval 7 days, so the first day to "
        "pick is Tuesday 8 September; Sunday 6 September is 2 days too early. Drops for juice or animals are inside "
        "it too. The label is the law.",
        "As known on this phone at 10:00 Saturday; a spray on another phone may not be shared yet.",
    )
    assert PickingVisit(phone, tree, Told(when="2026-09-08")).view.warnings == ()


def test_a_tree_with_nothing_recorded_asks_whether_it_was_left_untreated(
    phone: PhoneStore, tree: str
) -> None:
    visit = PickingVisit(phone, tree)
    assert visit.view.question == "Nothing done to this tree this season, as far as you know?"
    visit.left_untreated()
    assert visit.view.question is None
    assert [(line.tree, line.left_untreated) for line in phone.all(PlanLine)] == [(tree, True)]
    scored(visit, clean=1)
    assert report_of(phone, "2026").trees[6].status == "compared"


def test_a_tree_with_work_on_it_is_not_asked_about(phone: PhoneStore, tree: str) -> None:
    record_job(phone, "netting", trees=[tree])
    assert PickingVisit(phone, tree).view.question is None


def test_undoing_a_visit_takes_its_picks_with_it_and_redo_brings_them_back(
    phone: PhoneStore, tree: str
) -> None:
    visit = PickingVisit(phone, tree)
    visit.from_part(BAG_ON)
    scored(visit, clean=3)
    visit.from_part(BARE)
    scored(visit, sting=2)
    visit.picked_in_all(70)
    made = str(visit.visit)
    undo(phone, made)
    assert phone.all(Visit) == [] and phone.all(Pick) == []
    assert report_of(phone, "2026").scored.clean == 0
    redo(phone, made)
    assert sorted((pick.cover.value, pick.total) for pick in phone.all(Pick)) == [
        ("bagged", None),
        ("bare", 70),
    ]
    assert report_of(phone, "2026").scored.clean == 3


def test_touches_after_an_undo_begin_a_new_visit(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    scored(visit, clean=3)
    undo(phone, str(visit.visit))
    assert visit.score(Fruit.STING).scored == 1
    assert [pick.rec for pick in phone.all(Pick)] == [phone.all(Visit)[0].pick]
    visit.picked_in_all(9)
    assert [pick.total for pick in phone.all(Pick)] == [9] and len(phone.all(Visit)) == 1


def test_stored_fruit_scored_in_january_may_be_given_to_the_year_before(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    clock.move(days=125)
    scored(PickingVisit(phone, tree, Told(season="2026")), clean=4)
    assert report_of(phone, "2026").scored.clean == 4
    assert report_of(phone, "2027").scored.clean == 0


def test_a_second_mark_is_taken_back_to_what_the_fruit_carried(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    before = visit.score(Fruit.OTHER)
    visit.and_also(Fruit.STING)
    assert visit.as_before(before).counts[Fruit.OTHER] == 1
    assert visit.view.last_fruit == (Fruit.OTHER,) and visit.view.scored == 1


def test_the_result_can_be_read_again_and_writes_nothing(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    visit = PickingVisit(phone, tree)
    scored(visit, clean=3)
    done = visit.done()
    ended = [one.ended for one in phone.all(Visit)]
    clock.move(hours=1)
    again = PickingVisit(phone, tree, visit=visit.visit)
    assert again.result.parts == done.parts
    assert [one.ended for one in phone.all(Visit)] == ended
    again.picked_in_all(120)
    assert again.result.parts[0].picked_in_all == 120


def test_a_number_names_itself_so_that_it_can_be_undone(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.score(Fruit.CLEAN)
    visit.number(Fruit.CLEAN, Amount.exactly(20))
    undo(phone, str(visit.made))
    assert visit.view.counts[Fruit.CLEAN] == 1


def test_the_part_is_asked_of_a_tree_with_bags_until_it_is_said(phone: PhoneStore, tree: str) -> None:
    assert not PickingVisit(phone, tree).view.part_asked
    BaggingRound(phone).open(tree).number(Amount.exactly(20))
    visit = PickingVisit(phone, tree)
    assert visit.view.part_asked and not visit.from_part(BARE).part_asked


def test_the_result_names_the_cultivar_of_a_graft(phone: PhoneStore, tree: str) -> None:
    graft = add_graft(phone, tree, "Late Green")
    visit = PickingVisit(phone, tree)
    visit.from_part(Part(graft))
    visit.score(Fruit.STING)
    visit.from_part(WHOLE)
    visit.score(Fruit.CLEAN)
    told = {part.name: part.sentence for part in visit.done().parts}
    assert told["Late Green"].startswith("Late Green, picked, no bags: 1 of 1 damaged")
    assert told[""].startswith("picked, no bags: 0 of 1 damaged")


def test_crates_add_up_and_leave_a_counted_total_as_it_is(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.score(Fruit.CLEAN)
    visit.picked_in_all(150)
    visit.weigh_more(12.4)
    told = visit.weigh_more(7.1, 7.5).pick
    assert (told.total, told.total_certainty, told.weight_kg, told.fruit_per_kg) == (
        150,
        Certainty.EXACT,
        19.5,
        7.5,
    )
    assert visit.weigh_more(0.5).pick.fruit_per_kg == 7.5


def test_crates_are_of_the_part_at_hand(phone: PhoneStore, tree: str) -> None:
    visit = PickingVisit(phone, tree)
    visit.from_part(BAG_ON)
    visit.weigh_more(5)
    assert visit.from_part(BARE).pick.weight_kg is None


def test_a_crate_that_weighs_nothing_is_refused(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError, match="more than none"):
        PickingVisit(phone, tree).weigh_more(0)
    assert phone.all(Visit) == []

"""At picking, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.screens.pick_parts import KEY_WORDS
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import Told
from mobile.workflows.picking import KEYS
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.trees import add_graft
from shared_models.language import together
from shared_models.records.gardens import PlanLine
from shared_models.records.tallies import Pick, Visit
from shared_models.vocabulary import AllScored, Certainty, Round
from tests.window.invented import Invented, open_at, shown_screen, used
from tests.window.look import complaints
from tests.window.phone import shown

BARE_TREE = 2  # the third tree: no bags, nothing planned, nothing scored this year


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees; the first two have bags, the tenth was scored yesterday."""
    return used(tmp_path / "data")


def at_tree(phone, invented: Invented, tree: int = BARE_TREE, size=(360, 640)) -> None:
    """The app at a tree, ready to score."""
    open_at(phone, invented, "picking", size)
    phone.touch(f"Tree {tree + 1}")


def undo(phone) -> None:
    """Touch *Undo* and wait until the screen is shown anew."""
    phone.touch("Undo")
    phone.settle()


def scored(invented: Invented, tree: int = BARE_TREE) -> dict[str, float]:
    """What the visits of today to a tree hold on disk: marks, and how many fruit carry them."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found: dict[str, float] = {}
    for visit in visits_in(store, invented.trees[tree]):
        for count in store.tallies(visit.rec):
            found[count.marks] = found.get(count.marks, 0) + count.n
    store.close()
    return {marks: number for marks, number in found.items() if number}


def visits_in(store: PhoneStore, tree: str) -> list[Visit]:
    """The picking visits of today to a tree."""
    return [
        visit
        for visit in store.all(Visit)
        if visit.round is Round.PICKING and visit.tree == tree and str(visit.moment.day) == "2026-06-04"
    ]


def visits(invented: Invented, tree: int = BARE_TREE) -> list[Visit]:
    """The picking visits of today as they are on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = visits_in(store, invented.trees[tree])
    store.close()
    return found


def counts(phone) -> dict[str, str]:
    """What the six keys show."""
    return {key.text: key.count for key in shown_screen(phone.app)._keys.values()}


def test_the_list_tells_what_is_planned_and_what_was_scored(phone, invented):
    open_at(phone, invented, "picking", (412, 892))
    assert phone.sees("planned: bagging · not scored yet") and phone.sees("left untreated")
    phone.find("Tree 10")
    assert phone.sees("50 fruit scored, last Wednesday 3 June")
    assert not any("%" in text for text in phone.texts())


def test_the_next_fruit_is_one_touch_and_the_key_shows_it(phone, invented):
    at_tree(phone, invented)
    for number in (1, 2, 3):
        phone.touch("Sting")
        assert counts(phone)["Sting"] == str(number) and scored(invented) == {"sting": number}


def test_all_six_keys_score_what_they_say(phone, invented):
    at_tree(phone, invented)
    for fruit in KEYS:
        phone.touch(KEY_WORDS[fruit][0])
    assert scored(invented) == {fruit.value: 1 for fruit in KEYS}


def test_number_keys_score_and_zero_takes_back(phone, invented):
    at_tree(phone, invented)
    for key in ("1", "1", "3", "0", "9"):
        phone.key(key)
        phone.settle()
    assert scored(invented) == {"clean": 2}


def test_no_share_is_shown_while_scoring(phone, invented):
    at_tree(phone, invented)
    for word in ("Sting", "Clean", "Clean"):
        phone.touch(word)
    assert not any("%" in text or "damaged" in text for text in phone.texts())


def test_holding_a_key_adds_to_the_last_fruit(phone, invented):
    at_tree(phone, invented)
    phone.touch("Other")
    phone.tap(phone.find("Sting"), hold=0.9)
    phone.settle()
    assert scored(invented) == {"other+sting": 1}
    assert phone.sees("1 fruit scored · the last: Other + Sting")
    undo(phone)
    assert scored(invented) == {"other": 1}


def test_and_also_by_two_touches_where_holding_is_hard(phone, invented):
    at_tree(phone, invented)
    phone.touch("Other")
    phone.touch("And also")
    phone.touch("Deep entry")
    phone.touch("Clean")  # the next fruit again
    assert sum(scored(invented).values()) == 2 and scored(invented)["clean"] == 1


def test_holding_without_a_fruit_says_what_to_do(phone, invented):
    at_tree(phone, invented)
    phone.tap(phone.find("Sting"), hold=0.9)
    phone.settle()
    assert phone.sees("Score the fruit first; “and also” adds to it.") and scored(invented) == {}


@pytest.mark.parametrize("first", [0, 2])
def test_a_fruit_is_undone_and_the_first_with_its_visit_and_pick(phone, invented, first):
    at_tree(phone, invented)
    for _ in range(first + 1):
        phone.touch("Clean")
    undo(phone)
    assert sum(scored(invented).values()) == first and len(visits(invented)) == bool(first)
    store = PhoneStore(invented.settings.file, invented.clock)
    assert len(
        [pick for pick in store.all(Pick) if pick.tree == invented.trees[BARE_TREE] and "2026" in pick.when]
    ) == (1 if first else 0)
    store.close()
    phone.touch("Sting")
    assert scored(invented) == {"sting": 1, **({"clean": 2} if first else {})}


def test_minus_one_takes_the_newest_fruit_back(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Sting")
    phone.touch("−1")
    assert scored(invented) == {"clean": 1} and counts(phone)["Sting"] == ""


def test_on_a_tree_with_bags_it_is_asked_whether_fruit_is_bagged_or_bare(phone, invented):
    at_tree(phone, invented, 1)
    assert phone.sees("Bagged or bare?")
    phone.touch("Bagged or bare?")
    phone.touch("Bag on")
    phone.touch("Clean")
    phone.touch("Bag on")
    phone.touch("Bare, beside bags")
    assert counts(phone)["Clean"] == ""  # each part has counts of its own
    phone.touch("Sting")
    store = PhoneStore(invented.settings.file, invented.clock)
    (visit,) = visits_in(store, invented.trees[1])
    told = {(count.cover, count.bag, count.marks) for count in store.tallies(visit.rec)}
    store.close()
    assert told == {("bagged", "on", "clean"), ("bare", "", "sting")}


def test_drops_are_scored_apart_and_the_choice_outlives_a_restart(phone, invented):
    at_tree(phone, invented)
    phone.touch("Picked from the tree")
    phone.touch("From the ground")
    phone.touch("Deep entry")
    phone.close()
    app = invented.app()
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert phone.sees("From the ground") and counts(phone)["Deep entry"] == "1"
    phone.touch("Deep entry")
    store = PhoneStore(invented.settings.file, invented.clock)
    (visit,) = visits_in(store, invented.trees[BARE_TREE])
    assert [(count.source, count.n) for count in store.tallies(visit.rec)] == [("drop", 2)]
    store.close()


def test_two_cultivars_on_one_tree_are_scored_apart(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    graft = add_graft(store, invented.trees[BARE_TREE], "Late Green")
    store.close()
    at_tree(phone, invented)
    phone.touch("Whole tree, no bags")
    phone.touch("Late Green")
    sheet_touch(phone, "Tree without bags")
    phone.touch("Clean")
    store = PhoneStore(invented.settings.file, invented.clock)
    (visit,) = visits_in(store, invented.trees[BARE_TREE])
    assert [count.place for count in store.tallies(visit.rec)] == [graft]
    store.close()


def test_many_alike_are_a_number_exact_or_about(phone, invented):
    at_tree(phone, invented)
    phone.touch("Many alike at once")
    sheet_touch(phone, "Clean")
    phone.fill("How many?", "40")
    phone.touch("About, not counted")
    phone.touch("Add these fruit")
    assert scored(invented) == {"clean": 40} and counts(phone)["Clean"] == "40"
    undo(phone)
    assert scored(invented) == {}


def test_from_above_to_is_told_below_the_field(phone, invented):
    at_tree(phone, invented)
    phone.touch("Many alike at once")
    sheet_touch(phone, "Sting")
    phone.fill("How many?", "40")
    phone.fill("Or from that many up to", "30")
    phone.touch("Add these fruit")
    assert phone.sees("is larger than “to”") and scored(invented) == {}
    phone.fill("Or from that many up to", "50")
    phone.touch("Add these fruit")
    assert scored(invented) == {"sting": 45}


def sheet_touch(phone, text: str) -> None:
    """Touch what the sheet shows; the keys below carry the same words."""
    (there,) = [
        widget
        for widget in shown(phone.app.frame.sheet)
        if getattr(widget, "then", None) and widget.text == text
    ]
    phone.reach(there)
    phone.tap(there)
    phone.settle()


def test_done_tells_the_share_with_its_range_and_what_would_tell_more(phone, invented):
    at_tree(phone, invented)
    for word in ("Clean", "Clean", "Sting"):
        phone.touch(word)
    phone.touch("Done, next tree")
    assert phone.sees(together("picked, no bags: 1 of 3 damaged: 33 %, likely 6–79 %, on this tree."))
    assert phone.sees("27 more from this tree would tell more of it; for a method, better one more tree.")
    assert visits(invented)[0].ended is not None
    phone.touch("Next tree")
    assert phone.app.frame.way.here.screen == "pick_tree"
    assert phone.app.frame.way.here.about["tree"] == invented.trees[BARE_TREE + 1]


def test_done_is_undone_and_scoring_goes_on(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Done, next tree")
    undo(phone)
    assert phone.app.frame.way.here.screen == "pick_tree" and visits(invented)[0].ended is None
    phone.touch("Clean")
    assert scored(invented) == {"clean": 2}


def test_score_more_goes_on_with_the_same_visit(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Done, next tree")
    phone.touch("Score more of this tree")
    phone.touch("Clean")
    assert len(visits(invented)) == 1 and scored(invented) == {"clean": 2}


def picks(invented: Invented) -> list[Pick]:
    """The picks of today of the tree that is scored here."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = [
        pick
        for pick in store.all(Pick)
        if pick.tree == invented.trees[BARE_TREE] and str(pick.moment.day) == "2026-06-04"
    ]
    store.close()
    return found


def test_what_was_picked_in_all_is_kept_on_the_way_to_the_next_tree(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Done, next tree")
    phone.touch("Some were not")
    phone.fill("Picked in all, fruit", "120")
    phone.touch("About, not counted")
    phone.touch("Next tree")
    (pick,) = picks(invented)
    assert (pick.total, pick.total_certainty, pick.all_scored) == (120, Certainty.ESTIMATED, AllScored.NO)
    undo(phone)
    (pick,) = picks(invented)
    assert (pick.total, pick.all_scored) == (None, AllScored.NOT_SAID)
    assert phone.app.frame.way.here.screen == "picked"


def test_kilograms_need_fruit_per_kilogram(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Done, next tree")
    phone.fill("Or picked in all, kg", "12,5")
    phone.touch("Next tree")
    assert phone.sees("Say how many fruit make a kilogram")
    phone.touch("Close")
    phone.fill("Fruit in a kilogram", "7")
    phone.touch("Next tree")
    (pick,) = picks(invented)
    assert (pick.weight_kg, pick.fruit_per_kg) == (12.5, 7)


def test_what_was_typed_of_a_pick_is_there_after_a_restart(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("Done, next tree")
    phone.fill("Picked in all, fruit", "120")
    phone.close()
    app = invented.app()
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    phone.touch("Next tree")
    assert picks(invented)[0].total == 120


def test_it_was_another_tree(phone, invented):
    at_tree(phone, invented)
    phone.touch("Clean")
    phone.touch("This was another tree")
    phone.fill("Label or cultivar", "9")
    phone.touch("Tree 9")
    assert scored(invented, 8) == {"clean": 1} and scored(invented) == {} and picks(invented) == []
    undo(phone)
    assert scored(invented) == {"clean": 1} and len(picks(invented)) == 1


def test_picking_before_the_first_allowed_day_is_warned_about_with_its_arithmetic(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    mix = [FromLabel("Product one", pre_harvest_days=7)]
    record_spray(
        store, SprayTold("other_insecticide", mix, trees=invented.trees[2:3], told=Told("2026-06-01"))
    )
    store.close()
    at_tree(phone, invented)
    assert phone.sees("pre-harvest interval 7 days, so the first day to pick is Monday 8 June")
    assert phone.sees("4 days too early") and phone.sees("The label is the law.")
    assert phone.sees("As known on this phone at 09:10 Thursday")
    assert complaints() == []
    phone.touch("Clean")
    assert scored(invented) == {"clean": 1}  # a warning blocks nothing


def test_a_tree_of_which_nothing_is_recorded_is_asked_about(phone, invented):
    at_tree(phone, invented)
    assert phone.sees("Nothing done to this tree this season, as far as you know?")
    phone.touch("Nothing, and it stays so")
    store = PhoneStore(invented.settings.file, invented.clock)
    declared = [
        line for line in store.all(PlanLine) if line.tree == invented.trees[2] and line.season == "2026"
    ]
    store.close()
    assert [line.left_untreated for line in declared] == [True]
    assert not phone.sees("Nothing done to this tree this season")

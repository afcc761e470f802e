"""With a box of bags, with a finger."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.widgets.buttons import Row
from mobile.workflows.bagging import put_on
from shared_models.language import together
from shared_models.records.bag_checks import BagCheck
from shared_models.records.gardens import Person, PlanLine, Tree
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.vocabulary import Round
from tests.window.invented import Invented, open_at, shown_screen, used
from tests.window.look import complaints


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees, two of them bagged two days ago."""
    return used(tmp_path / "data")


def bagged(invented: Invented, tree: int) -> list[tuple[Visit, float]]:
    """The bagging visits of today to a tree as they are on disk, with the bags put on."""
    store = PhoneStore(invented.settings.file, invented.clock)
    here = [
        (visit, put_on(store, visit))
        for visit in store.all(Visit)
        if visit.round is Round.BAGGING
        and visit.tree == invented.trees[tree]
        and str(visit.moment.day) == "2026-06-04"
    ]
    store.close()
    return here


def at_tree(phone, invented: Invented, tree: int, size=(360, 640)):
    """The app at a tree with bags."""
    app = open_at(phone, invented, "bags", size)
    phone.touch(f"Tree {tree + 1}")
    return shown_screen(app)


def undo(phone) -> None:
    """Touch *Undo* and wait until the screen is shown anew."""
    phone.touch("Undo")
    phone.settle()


def test_the_list_tells_what_hangs_on_each_tree(phone, invented):
    open_at(phone, invented, "bags", (412, 892))
    assert phone.sees("60 on the tree") and phone.sees("no bags yet")


def test_took_fifty_left_thirteen_makes_thirty_seven(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("Took")
    phone.touch("50")
    phone.touch("Left")
    phone.fill("How many are left?", "13")
    phone.touch("Keep this number")
    ((visit, bags),) = bagged(invented, 2)
    assert (visit.took, visit.left, bags) == (50, 13, 37)
    assert phone.sees("Took 50, left 13: 37 on.") and phone.sees("37 today · 37 on the tree")
    assert shown_screen(phone.app)._pad.number == "37"


def test_a_second_box_adds_to_the_first(phone, invented):
    at_tree(phone, invented, 2)
    for box in ("50", "25"):
        phone.touch("Took")
        phone.touch(box)
    ((visit, bags),) = bagged(invented, 2)
    assert (visit.took, bags) == (75, 75)


def test_bags_one_by_one_tens_and_typed_numbers_add_up(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+1 bag")
    phone.touch("+10")
    phone.touch("Type a number")
    phone.fill("How many bags more?", "5")
    phone.touch("Add this number")
    ((_, bags),) = bagged(invented, 2)
    assert bags == 16 and shown_screen(phone.app)._pad.number == "16"


def test_number_keys_add_so_many_bags(phone, invented):
    at_tree(phone, invented, 2)
    for key in ("3", "0", "1"):
        phone.key(key)
        phone.settle()
    ((_, bags),) = bagged(invented, 2)
    assert bags == 14


@pytest.mark.parametrize("touches", [["+1 bag"], ["+10"], ["Took", "50"]])
def test_the_first_touch_is_undone_with_the_visit_it_began(phone, invented, touches):
    at_tree(phone, invented, 2)
    for touch in touches:
        phone.touch(touch)
    undo(phone)
    assert bagged(invented, 2) == []
    assert phone.sees("0 today · 0 on the tree")
    phone.touch("+1 bag")
    assert [bags for _, bags in bagged(invented, 2)] == [1]


@pytest.mark.parametrize(("touches", "left"), [(["+1 bag"], 10), (["+10"], 10), (["Took", "50"], 10)])
def test_a_later_touch_is_undone_alone(phone, invented, touches, left):
    at_tree(phone, invented, 2)
    for touch in ["+10", *touches]:
        phone.touch(touch)
    undo(phone)
    assert [bags for _, bags in bagged(invented, 2)] == [left]
    assert shown_screen(phone.app)._pad.number == str(left)


def test_minus_one_takes_the_newest_bag_back_and_says_where_there_is_none(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+1 bag")
    phone.touch("−1")
    assert [bags for _, bags in bagged(invented, 2)] == [0]
    phone.touch("−1")
    assert phone.sees("There is no mark of yours to take back here.")


def test_the_next_tree_is_one_touch_and_is_that_in_walking_order(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.touch("Done, next tree")
    assert phone.app.frame.way.here.about["tree"] == invented.trees[3]
    assert phone.sees("Tree 3: 10 bags on. Done.")
    ((visit, _),) = bagged(invented, 2)
    assert visit.ended is not None
    undo(phone)
    assert phone.app.frame.way.here.about["tree"] == invented.trees[2]
    assert bagged(invented, 2)[0][0].ended is None


def test_a_tree_that_was_only_looked_at_leaves_nothing_behind(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("Done, next tree")
    assert bagged(invented, 2) == [] and phone.app.frame.way.here.about["tree"] == invented.trees[3]


def test_which_bags_is_asked_once_a_round(phone, invented):
    at_tree(phone, invented, 2)
    assert phone.sees("Which bags are these?")
    phone.touch(together("As last time: two-layer paper, fruit 22 mm"))
    phone.touch("+10")
    phone.touch("Done, next tree")
    assert not phone.sees("Which bags are these?")
    phone.touch("+10")
    for tree in (2, 3):
        ((visit, _),) = bagged(invented, tree)
        assert (visit.material, visit.fruit_size_mm) == ("two-layer paper", 22)


def test_other_bags_are_typed_and_what_cannot_be_is_told(phone, invented):
    open_at(phone, invented, "bags", (360, 640))
    phone.touch("Which bags? Not said yet · Ida")
    phone.fill("What are the bags made of?", "nylon")
    phone.fill("How large is the fruit, in mm?", "900")
    phone.touch("Keep this")
    assert phone.sees("900") and phone.sees("This round")
    phone.fill("How large is the fruit, in mm?", "18")
    phone.touch("Keep this")
    assert phone.sees(together("nylon, fruit 18 mm · Ida"))
    phone.touch("Tree 4")
    phone.touch("+1 bag")
    ((visit, _),) = bagged(invented, 3)
    assert (visit.material, visit.fruit_size_mm) == ("nylon", 18)


def test_a_helper_without_a_phone_puts_bags_on_beside_me(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.touch("Say which bags, once a round")
    phone.fill("Or a helper without a phone, by name", "Bo")
    phone.touch("Keep this")
    phone.touch("+1 bag")
    assert phone.sees("by Bo") and phone.sees("11 today · 11 on the tree")
    store = PhoneStore(invented.settings.file, invented.clock)
    names = {person.rec: person.name for person in store.all(Person)}
    store.close()
    assert sorted((names[visit.person], bags) for visit, bags in bagged(invented, 2)) == [
        ("Bo", 1),
        ("Ida", 10),
    ]


def test_a_visit_of_a_helper_is_gone_on_with_after_a_look_elsewhere(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("Say which bags, once a round")
    phone.touch("Bartholomew from the mill")
    phone.touch("Keep this")
    phone.touch("+1 bag")
    about = phone.app.frame.way.here.about
    phone.app.frame.go("today")
    phone.settle()
    phone.app.frame.go("bag_tree", **about)
    phone.settle()
    phone.touch("+1 bag")
    assert [bags for _, bags in bagged(invented, 2)] == [2]


def test_the_question_about_the_trees_beside_comes_with_the_first_bags_of_a_garden(phone, tmp_path: Path):
    other = used(tmp_path / "other")
    store = PhoneStore(other.settings.file, other.clock)
    for record in (*store.all(Visit), *store.all(Job), *store.all(PlanLine)):
        store.undo(record.rec)
    store.close()
    at_tree(phone, other, 2)
    assert not phone.sees("Nothing done to these trees")
    phone.touch("+10")
    assert phone.sees(
        "Beside it stand trees 2, 4. Nothing done to these trees this season, as far as you know?"
    )
    phone.touch("Nothing, and it stays so")
    store = PhoneStore(other.settings.file, other.clock)
    untreated = {line.tree for line in store.all(PlanLine) if line.left_untreated}
    assert untreated == {other.trees[1], other.trees[3]}
    store.close()
    undo(phone)
    store = PhoneStore(other.settings.file, other.clock)
    assert store.all(PlanLine) == []
    store.close()


def test_a_long_silence_is_asked_about_at_the_next_touch(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    invented.clock.move(minutes=40)
    phone.touch("+10")
    assert phone.sees("40 minutes passed without a touch.")
    phone.touch("No, take them out")
    ((visit, bags),) = bagged(invented, 2)
    assert (visit.pause_minutes, bags) == (40, 20) and not phone.sees("passed without a touch")


def test_a_long_silence_is_asked_about_at_the_end(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    invented.clock.move(minutes=40)
    phone.touch("Done, next tree")
    phone.touch("Until the last touch")
    ((visit, _),) = bagged(invented, 2)
    assert visit.ended == visit.when


def test_a_pause_holds_the_hours_until_the_next_bag_also_after_a_restart(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.touch("Since 09:10")
    phone.touch("Pause from now on")
    assert phone.sees("The hours are held.")
    phone.close()
    invented.clock.move(minutes=30)
    app = invented.app()
    phone.open(app, (360, 640))
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert phone.sees("The hours are held.")
    phone.touch("+1 bag")
    ((visit, bags),) = bagged(invented, 2)
    assert (visit.pause_minutes, bags) == (30, 11)
    assert phone.sees(together("Since 09:10: 0 min.")) and not phone.sees("The hours are held.")


def test_hours_are_mended(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.touch("Since 09:10")
    phone.fill("Began at", "8:30")
    phone.fill("Pauses in all, in minutes", "10")
    phone.touch("Mend the hours")
    assert phone.sees(together("Since 08:30: 30 min. Pauses of 10 min are taken out."))


def test_it_was_another_tree_and_the_undo_brings_it_back(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.touch("This was another tree")
    phone.fill("Label or cultivar", "9")
    phone.touch("Tree 9")
    assert [bags for _, bags in bagged(invented, 8)] == [10] and bagged(invented, 2) == []
    assert phone.sees("This visit was moved here from tree 3.")
    undo(phone)
    assert [bags for _, bags in bagged(invented, 2)] == [10]
    assert phone.app.frame.way.here.about["tree"] == invented.trees[2]


def test_any_tree_is_found_by_its_label(phone, invented):
    open_at(phone, invented, "bags", (360, 640))
    phone.touch("Find a tree")
    phone.fill("Label or cultivar", "12")
    rows = [one for one in phone.app.frame.sheet.walk() if isinstance(one, Row)]
    (row,) = [one for one in rows if one.text == "Tree 12"]  # the list below the sheet shows it too
    phone.tap(row)
    phone.settle()
    assert phone.app.frame.way.here.about["tree"] == invented.trees[11]


def test_a_look_at_the_bags_is_kept_and_undone(phone, invented):
    at_tree(phone, invented, 0)
    phone.touch("Bags taken off, or looked at")
    phone.touch("Keep this look")
    assert phone.sees("Give at least one of the numbers; none is 0.")
    phone.touch("Close")
    phone.fill("Still on", "52")
    phone.fill("Fell with fruit", "3")
    phone.touch("Keep this look")
    store = PhoneStore(invented.settings.file, invented.clock)
    (check,) = store.all(BagCheck)
    store.close()
    assert (check.tree, check.still_on, check.fell_empty, check.fell_with_fruit) == (
        invented.trees[0],
        52,
        None,
        3,
    )
    assert phone.sees("Bags of tree 1: 52 on, 3 fell with fruit.")
    undo(phone)
    store = PhoneStore(invented.settings.file, invented.clock)
    assert store.all(BagCheck) == []
    store.close()


def test_bags_taken_off_are_noted_and_stay_counted(phone, invented):
    at_tree(phone, invented, 0)
    phone.touch("Bags taken off, or looked at")
    phone.touch("Note bags taken off")
    assert phone.sees("Tree 1: bags taken off.") and phone.sees("60 on the tree")


def test_today_goes_on_with_the_tree(phone, invented):
    at_tree(phone, invented, 2)
    phone.touch("+10")
    phone.app.frame.go("today")
    phone.settle()
    phone.touch("Go on: Bagging, tree 3: 10 bags")
    phone.touch("+1 bag")
    assert [bags for _, bags in bagged(invented, 2)] == [11]


def test_without_trees_the_place_leads_to_the_first(phone, tmp_path: Path):
    empty = used(tmp_path / "empty")
    store = PhoneStore(empty.settings.file, empty.clock)
    for tree in store.all(Tree):
        store.record("tree", {"retired": True}, tree.rec)
    store.close()
    open_at(phone, empty, "bags", (360, 640))
    assert phone.sees("No tree stands yet") and complaints() == []
    phone.touch("Add trees")
    assert phone.app.frame.way.here.screen == "row_of_trees"


@pytest.mark.parametrize(
    "touch", ["Took", "Left", "Type a number", "Which bags", "This was another tree", "Since"]
)
@pytest.mark.parametrize("type_size", [1.0, 1.5])
def test_every_sheet_can_be_read_and_touched(phone, tmp_path: Path, touch, type_size):
    big = used(tmp_path / "big", type_size=type_size)
    at_tree(phone, big, 2)
    phone.touch("+10")
    phone.touch("Say which bags, once a round" if touch == "Which bags" else touch)
    assert phone.app.frame.sheet is not None
    assert complaints() == []

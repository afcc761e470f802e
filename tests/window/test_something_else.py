"""Work on many trees, sprays with their labels, drops, temperatures, stages and notes, with a finger."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from shared_models.language import together
from shared_models.records.fields import Record
from shared_models.records.gardens import Note
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.tallies import Visit
from shared_models.records.timing import Stage
from shared_models.vocabulary import Round
from tests.window.invented import TYPE_SIZES, Invented, open_at, used
from tests.window.look import complaints

R = TypeVar("R", bound=Record)


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone with twelve trees."""
    return used(tmp_path / "data")


def on_disk(invented: Invented, kind: type[R]) -> list[R]:
    """The records of a kind as they are on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = store.all(kind)
    store.close()
    return found


def newest(invented: Invented, kind: type[R]) -> R:
    """The record of a kind that was made last."""
    store = PhoneStore(invented.settings.file, invented.clock)
    rec = next(entry.rec for entry in store.history(200) if entry.kind == kind.kind)
    found = store.get(kind, rec)
    store.close()
    assert found is not None
    return found


def drops(invented: Invented) -> list[Visit]:
    """The visits of drops rounds."""
    return [visit for visit in on_disk(invented, Visit) if visit.round is Round.DROPS]


# ---------------------------------------------------------------- many trees at once
def test_work_on_many_trees_is_recorded_by_ranges(phone, invented):
    app = open_at(phone, invented, "today", (360, 640))
    phone.touch("Record something else")
    phone.touch("Trunk band")
    phone.touch("Which trees?")
    phone.fill("Trees such as 1-12, 15, in walking order", "1-3, 9")
    phone.touch("These trees")
    assert phone.sees("4 trees: 1–3, 9")
    phone.fill("How many minutes did it take?", "40")
    phone.touch("Record this")
    job = newest(invented, Job)
    assert (job.method, job.minutes) == ("trunk_band", 40)
    assert job.trees == [*invented.trees[:3], invented.trees[8]]
    assert app.frame.way.here.screen == "something_else"
    phone.touch("Undo")
    assert [job.method for job in on_disk(invented, Job) if job.method == "trunk_band"] == []


def test_trees_that_are_not_there_are_said_below_the_field_and_nothing_is_recorded(phone, invented):
    open_at(phone, invented, "job", (360, 640))
    phone.touch("Which trees?")
    phone.fill("Trees such as 1-12, 15, in walking order", "1-3, 40")
    phone.touch("These trees")
    assert phone.sees("No standing tree here is labelled 40")
    phone.fill("Trees such as 1-12, 15, in walking order", "1-3, 4")
    phone.touch("These trees")
    assert phone.sees("4 trees: 1–4")


def test_nothing_is_recorded_before_it_is_said_on_what(phone, invented):
    before = len(on_disk(invented, Job))
    open_at(phone, invented, "job", (360, 640))
    phone.touch("Record this")
    assert phone.sees("Say first which trees") and len(on_disk(invented, Job)) == before


def test_the_same_trees_as_last_time_are_one_touch(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    record_job(store, "netting", trees=invented.trees[4:8], told=Told("2026-05-20"))
    store.close()
    open_at(phone, invented, "something_else", (360, 640))
    assert phone.sees("last: Wednesday 20 May")
    phone.touch("Netting")
    assert phone.sees("4 trees: 5–8")
    phone.touch("Same as last time")
    phone.touch("Record this")
    assert newest(invented, Job).trees == list(invented.trees[4:8])


def test_a_garden_as_a_whole_names_no_tree(phone, invented):
    open_at(phone, invented, "something_else", (360, 640))
    phone.touch("Mating disruption")
    phone.touch("Which trees?")
    phone.touch("The garden as a whole")
    assert phone.sees("The whole of Lower garden by the old mill")
    phone.touch("Record this")
    job = newest(invented, Job)
    assert (job.trees, job.garden) == ([], invented.garden)


def test_work_of_an_earlier_day_stands_on_that_day(phone, invented):
    open_at(phone, invented, "something_else", (412, 892))
    phone.touch("Pruning")
    phone.touch("When? now")
    phone.touch("A day")
    phone.touch("This day")
    phone.touch("Which trees?")
    phone.touch("All 12 trees of Lower garden by the old mill")
    phone.touch("Record this")
    assert newest(invented, Job).when == "2026-06-03" and len(newest(invented, Job).trees) == 12


def test_work_of_a_helper_without_a_phone_is_theirs(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    helper = add_person(store, "Bert")
    store.close()
    open_at(phone, invented, "something_else", (412, 892))
    phone.touch("Pruning")
    phone.touch("Who? Ida")
    phone.touch("Bert")
    phone.touch("When? now")
    phone.touch("Earlier today")
    phone.touch("It was at 08:10")
    phone.fill("How many minutes did it take?", "30")
    phone.touch("Which trees?")
    phone.touch("All 12 trees of Lower garden by the old mill")
    phone.touch("Record this")
    job = newest(invented, Job)
    assert (job.done_by, job.when, job.ended) == (
        helper,
        "2026-06-04T08:10:00+02:00",
        "2026-06-04T08:40:00+02:00",
    )


# ---------------------------------------------------------------- sprays
def spray(phone) -> None:
    """Type a label and choose trees."""
    phone.touch("Which trees?")
    phone.fill("Trees such as 1-12, 15, in walking order", "1-6")
    phone.touch("These trees")
    phone.touch("Type a product's label")
    phone.fill("Product, as labelled", "Invented white film")
    phone.fill("Registration number", "X-17")
    phone.fill("Days from spraying to picking", "7")
    phone.fill("Hours until people may go in", "4")
    phone.touch("Not while in flower, says the label")
    phone.touch("Keep this product")


def test_a_spray_says_its_arithmetic_before_and_after_it_is_recorded(phone, invented):
    open_at(phone, invented, "job", (360, 640))
    spray(phone)
    assert phone.sees("First day to pick: Thursday 11 June (Thursday 4 June and 7 calendar days")
    assert phone.sees("The label is the law") and phone.sees("The growth stage is not noted.")
    phone.touch("Record this")
    assert phone.sees("Keep people and animals out until 13:10 Thursday")
    product = newest(invented, Job).products[0]
    assert (product.name, product.registration, product.pre_harvest_days) == (
        "Invented white film",
        "X-17",
        7,
    )
    assert (product.re_entry_hours, product.not_while_in_flower) == (4.0, True)


def test_what_was_typed_from_a_label_is_there_after_a_restart(phone, invented):
    open_at(phone, invented, "job", (360, 640))
    phone.touch("Type a product's label")
    phone.fill("Product, as labelled", "Invented wh")
    phone.close()
    app = invented.app()
    phone.open(app)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    assert phone.sees("Invented wh")


def test_a_product_can_be_taken_out_of_the_mix_again(phone, invented):
    open_at(phone, invented, "job", (360, 640))
    spray(phone)
    phone.touch("Invented white film")
    phone.touch("Take it out of the mix")
    assert not phone.sees("Invented white film")
    phone.touch("Record this")
    assert phone.sees("Type the product's name as it stands on its label.")


def test_a_label_that_gives_no_number_is_said_so_and_not_left_out(phone, invented):
    open_at(phone, invented, "job", (360, 640))
    spray(phone)
    phone.touch("Invented white film")
    phone.touch("Until the spray is dry")
    phone.touch("The label gives no days to picking")
    phone.touch("Keep this product")
    phone.touch("Record this")
    product = newest(invented, Job).products[0]
    assert (product.re_entry_hours, product.pre_harvest_days) == ("until_dry", "not_given")


def test_a_product_typed_before_is_offered_and_nothing_is_filled_in_by_itself(phone, invented):
    app = open_at(phone, invented, "job", (360, 640))
    spray(phone)
    phone.touch("Record this")
    phone.touch("Read")
    app.frame.go("job", method="kaolin_film")
    phone.settle()
    assert not phone.sees("First day to pick")
    phone.touch("As typed before: Invented white film")
    phone.touch("Keep this product")
    phone.touch("Same as last time")
    assert phone.sees("First day to pick: Thursday 11 June")


# ---------------------------------------------------------------- drops
def test_drops_are_one_touch_each_and_done_leads_to_the_next_tree(phone, invented):
    app = open_at(phone, invented, "drops", (360, 640))
    phone.touch("Tree 3")
    for words in ("Damaged drop", "Damaged drop", "Undamaged drop", "Done, next tree"):
        phone.touch(words)
    assert phone.sees("Tree 3: 2 damaged drops, 1 undamaged drop. Done.")
    assert app.frame.way.here.about["tree"] == invented.trees[3]
    phone.touch("None")
    phone.touch("Back")
    assert phone.sees("2 damaged drops, 1 undamaged drop") and phone.sees("no drops")
    (first,) = [visit for visit in drops(invented) if visit.tree == invented.trees[2]]
    (second,) = [visit for visit in drops(invented) if visit.tree == invented.trees[3]]
    assert first.ended is not None and second.nothing_found


def test_each_touch_on_the_drops_round_is_undone_by_one(phone, invented):
    open_at(phone, invented, "drops_tree", (360, 640))
    phone.touch("Damaged drop")
    phone.touch("Number")
    phone.touch("Undamaged drops")
    phone.fill("How many?", "40")
    phone.fill("Up to, if you only know from and to", "60")
    phone.touch("Keep this number")
    assert phone.sees("1 damaged drop, 50 undamaged drops")
    phone.touch("Undo")
    assert phone.sees("Taken back: Tree 7: 1 damaged drop, 50 undamaged drops.")
    phone.touch("−1")
    phone.touch("None")
    assert phone.sees("No drops")
    phone.touch("Undo")
    assert phone.sees("Nothing counted")


def test_a_number_the_wrong_way_round_is_refused_below_the_field(phone, invented):
    open_at(phone, invented, "drops_tree", (360, 640))
    phone.touch("Number")
    phone.touch("Keep this number")
    assert phone.sees("Type how many.")
    phone.fill("How many?", "60")
    phone.fill("Up to, if you only know from and to", "40")
    phone.touch("Keep this number")
    assert phone.sees("turn them round") and drops(invented) == []


def test_number_keys_count_drops(phone, invented):
    open_at(phone, invented, "drops_tree", (1024, 768))
    for key in ("1", "1", "2", "3"):
        phone.key(key)
    phone.settle()
    assert phone.sees("2 damaged drops, 1 undamaged drop, 1 taken off the tree")


def test_an_unfinished_tree_of_the_round_is_gone_on_with_from_today(phone, invented):
    app = open_at(phone, invented, "drops_tree", (360, 640))
    phone.touch("Damaged drop")
    app.frame.go("today")
    phone.settle()
    phone.touch("Go on: Drops, tree 7: 1 fruit")
    phone.touch("Damaged drop")
    assert phone.sees("2 damaged drops") and len(drops(invented)) == 1


def test_one_bucket_stands_for_the_whole_garden(phone, invented):
    open_at(phone, invented, "drops", (360, 640))
    phone.touch("A bucket for the whole garden")
    phone.fill("How many damaged drops?", "80")
    phone.touch("Record this round")
    job = newest(invented, Job)
    assert (job.method, job.garden, job.note) == ("drops_round", invented.garden, "80 damaged drops")
    phone.touch("Undo")
    assert "drops_round" not in {job.method for job in on_disk(invented, Job)}


# ---------------------------------------------------------------- temperature, stage, note
def test_days_are_typed_one_after_another(phone, invented):
    open_at(phone, invented, "temperature", (360, 640))
    phone.touch("Thursday 4 June 2026")
    phone.touch("A day earlier")
    phone.touch("A day earlier")
    phone.touch("This day")
    for lowest, highest in (("9,5", "21"), ("8", "19.5")):
        phone.fill("Lowest", lowest)
        phone.fill("Highest", highest)
        phone.touch("Keep this day")
    days = [(one.when, one.lowest, one.highest) for one in on_disk(invented, DayTemperature)]
    assert days == [("2026-06-02", 9.5, 21.0), ("2026-06-03", 8.0, 19.5)]
    assert phone.sees(together("Wednesday 3 June: 8 to 19.5 °C."))
    phone.fill("Lowest", "30")
    phone.fill("Highest", "20")
    phone.touch("Keep this day")
    assert phone.sees("The lowest temperature is above the highest")


def test_the_unit_of_the_last_day_is_offered(phone, invented):
    open_at(phone, invented, "temperature", (412, 892))
    phone.touch("°F")
    phone.touch("Read in the morning")
    phone.fill("Lowest", "48")
    phone.fill("Highest", "70")
    phone.touch("Keep this day")
    phone.app.frame.go("temperature")
    phone.settle()
    phone.fill("Lowest", "50")
    phone.fill("Highest", "71")
    phone.touch("Keep this day")
    assert {(one.unit, one.habit) for one in on_disk(invented, DayTemperature)} == {("F", "morning")}


def test_a_stage_is_recorded_by_one_touch_for_a_garden_or_a_tree(phone, invented):
    open_at(phone, invented, "stage", (360, 640))
    phone.touch("full bloom: half or more open, first petals fall")
    assert (newest(invented, Stage).bbch, newest(invented, Stage).garden) == ("65", invented.garden)
    phone.touch("Seen in Lower garden by the old mill")
    phone.touch("On one tree")
    phone.fill("Label or cultivar", "4")
    phone.touch("Tree 4")
    phone.touch("all petals down (petal fall)")
    stage = newest(invented, Stage)
    assert (stage.bbch, stage.tree, stage.garden) == ("69", invented.trees[3], None)


def test_a_note_is_kept(phone, invented):
    open_at(phone, invented, "note", (360, 640))
    phone.touch("Keep this note")
    assert phone.sees("an empty note is not kept")
    phone.fill("What do you want to remember?", "Wasps at the gate")
    phone.touch("Keep this note")
    assert [note.text for note in on_disk(invented, Note)] == ["Wasps at the gate"]


# ---------------------------------------------------------------- looks
@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize(
    ("screen", "path"),
    [
        ("job", ("Which trees?",)),
        ("job", ("Type a product's label",)),
        ("job", ("Stage, wind, water, target, operator …",)),
        ("drops", ("A bucket for the whole garden",)),
        ("drops", ("Lower garden by the old mill",)),
        ("drops_tree", ("Damaged drop",)),
        ("drops_tree", ("Number",)),
        ("temperature", ("Thursday 4 June 2026",)),
        ("stage", ("Seen in Lower garden by the old mill",)),
    ],
)
def test_every_sheet_can_be_read_and_touched(phone, tmp_path, type_size, screen, path):
    open_at(phone, used(tmp_path / "data", "sun", type_size), screen, (360, 640))
    for words in path:
        phone.touch(words)
    phone.frames(4)
    assert complaints() == []

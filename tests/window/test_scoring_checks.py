"""Fruit scored by two people and fruit cut open, with a finger."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.widgets.lock import Lock
from shared_models.language import together
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.vocabulary import Fruit
from tests.window.invented import Invented, shown_screen, used
from tests.window.look import complaints
from tests.window.test_picking import at_tree, invented, undo

__all__ = ["invented"]
HELPER = "Bartholomew from the mill"
C, S, D = Fruit.CLEAN, Fruit.STING, Fruit.DEEP_ENTRY


def kept(invented: Invented, kind: type[Any]) -> list[Any]:
    """What is on disk of a kind, the one of the invented garden left out."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = [one for one in store.all(kind) if one.rec != invented.scored_twice]
    store.close()
    return found


def reopen(phone, invented: Invented, size: tuple[int, int] = (360, 640)) -> None:
    """Close the app and start it anew."""
    phone.close()
    app = invented.app()
    phone.open(app, size)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()


def first_has_scored(phone, invented: Invented, size: tuple[int, int] = (360, 640)) -> None:
    """Ida has scored three fruit."""
    at_tree(phone, invented, size=size)
    phone.touch("Score twice")
    phone.touch(HELPER)
    for words in ("Clean", "Sting", "Deep entry"):
        phone.touch(words)


def test_two_people_score_the_same_fruit_and_see_where_they_differ(phone, invented):
    first_has_scored(phone, invented)
    assert phone.sees("Ida: fruit 4") and phone.sees("The last: Deep entry")
    phone.touch("Hand it over")
    assert phone.sees(f"Give the phone to {HELPER}.") and not phone.sees("Deep entry")
    phone.touch("Begin")
    assert phone.sees(f"{HELPER}: fruit 1 of 3") and phone.sees("None scored yet")
    for words in ("Clean", "Clean"):
        phone.touch(words)
    assert shown_screen(phone.app)._next.disabled and kept(invented, DoubleScore) == []
    phone.touch("Deep entry")
    phone.touch("Sting")  # a fourth fruit is not there
    assert phone.sees(f"{HELPER}: all 3 scored")
    phone.touch("Compare")
    (found,) = kept(invented, DoubleScore)
    assert (found.tree, found.first_marks, found.second_marks) == (invented.trees[2], [C, S, D], [C, C, D])
    assert phone.sees(together(f"Ida and {HELPER}: 2 of 3 fruit alike, 67 %"))
    assert phone.sees(f"Fruit 2: sting (Ida), clean ({HELPER})")
    undo(phone)
    assert kept(invented, DoubleScore) == [] and phone.sees(f"{HELPER}: all 3 scored")
    phone.touch("Compare")
    phone.touch("On with this tree")
    assert phone.app.frame.way.here.screen == "pick_tree" and len(kept(invented, DoubleScore)) == 1


def test_at_any_turn_a_restart_finds_all_marks_again(phone, invented):
    first_has_scored(phone, invented)
    reopen(phone, invented)
    assert phone.sees("Ida: fruit 4")
    phone.touch("Hand it over")
    phone.touch("Begin")
    phone.touch("Other")
    reopen(phone, invented)
    assert phone.sees(f"{HELPER}: fruit 2 of 3") and phone.sees("The last: Other")
    phone.app.frame.go("today")
    phone.settle()
    phone.app.frame.go("score_twice", tree=invented.trees[2])
    phone.settle()
    assert phone.sees(f"{HELPER}: fruit 2 of 3")


def test_the_newest_mark_is_taken_back_by_undo_by_minus_one_and_by_zero(phone, invented):
    first_has_scored(phone, invented)
    undo(phone)
    assert phone.sees("Ida: fruit 3")
    phone.touch("−1")
    assert phone.sees("Ida: fruit 2") and phone.sees("The last: Clean")
    phone.key("3")
    phone.settle()
    phone.key("0")
    phone.settle()
    assert phone.sees("Ida: fruit 2")


def test_what_was_recorded_says_nothing_of_the_mark_when_the_phone_is_handed_over(phone, invented):
    first_has_scored(phone, invented)
    phone.touch("Hand it over")
    phone.touch("Begin")
    bar = phone.app.frame.undo_bar
    assert bar.height and phone.sees("Ida: 3 fruit.")
    phone.touch("Undo")  # of what the first one scored: too late, and nothing is lost
    phone.settle()
    assert phone.sees(f"{HELPER}: fruit 1 of 3")


def test_the_first_one_may_go_on_and_a_helper_is_named_by_typing(phone, invented):
    at_tree(phone, invented)
    phone.touch("Score twice")
    phone.touch("Begin with this helper")
    assert phone.sees("Touch a name above, or type one here.")
    phone.fill("Or a helper without a phone, by name", "Mia")
    phone.touch("Begin with this helper")
    phone.touch("Hand it over")
    assert phone.sees("Score at least one fruit first")
    phone.touch("Close")
    phone.touch("Clean")
    phone.touch("Hand it over")
    phone.touch("Ida scores more of it")
    phone.touch("Clean")
    phone.touch("Hand it over")
    assert phone.sees("2 fruit are scored.")


def test_it_can_be_left_and_taken_up_again(phone, invented):
    first_has_scored(phone, invented)
    phone.touch("Leave it and forget these marks")
    assert phone.app.frame.way.here.screen == "pick_tree"
    undo(phone)
    assert phone.sees("Ida: fruit 4")


def test_scoring_twice_is_locked_as_picking_is(phone, invented):
    first_has_scored(phone, invented)
    phone.touch("Lock")
    phone.key("1")
    reopen(phone, invented)
    assert isinstance(phone.app.frame.sheet, Lock)
    phone.touch("1: here")
    phone.touch("2: then here")
    assert phone.sees("Ida: fruit 4")


@pytest.mark.parametrize("size", [(360, 640), (640, 360)], ids=["upright", "lying"])
def test_every_turn_can_be_read_and_touched(phone, tmp_path: Path, size):
    big = used(tmp_path / "big", type_size=1.5)
    first_has_scored(phone, big, size)
    assert complaints() == []
    phone.touch("Hand it over")
    assert complaints() == []
    phone.touch("Begin")
    for _ in range(3):
        phone.touch("Clean")
    assert complaints() == []


def test_fruit_cut_open_is_recorded_undone_and_in_the_history(phone, invented):
    at_tree(phone, invented)
    phone.touch("Cut some open")
    phone.fill("How many that look clean were cut?", "25")
    phone.touch("Record what was cut")
    assert phone.sees("Type how many; none is 0.") and kept(invented, CutSample) == []
    phone.fill("In how many of them was an entry? None is 0", "26")
    phone.touch("Record what was cut")
    assert phone.sees("Say how many were cut, at least one") and kept(invented, CutSample) == []
    phone.touch("Close")
    phone.fill("In how many of them was an entry? None is 0", "1")
    phone.touch("Record what was cut")
    (found,) = kept(invented, CutSample)
    assert (found.tree, found.cut, found.found) == (invented.trees[2], 25, 1)
    assert phone.sees("Tree 3: 25 cut, an entry in 1.") and phone.app.frame.way.here.screen == "pick_tree"
    undo(phone)
    assert kept(invented, CutSample) == [] and phone.app.frame.way.here.screen == "cut_open"


def test_what_was_typed_of_cut_fruit_is_there_after_a_restart(phone, invented):
    at_tree(phone, invented)
    phone.touch("Cut some open")
    phone.fill("How many that look clean were cut?", "25")
    phone.fill("In how many of them was an entry? None is 0", "0")
    reopen(phone, invented)
    phone.touch("Record what was cut")
    assert phone.sees("Tree 3: 25 cut, no entry.")

"""The history with a finger: found, filtered, read in every version, corrected with a reason, moved, undone, put back."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.history import versions
from mobile.workflows.job import record_job
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person
from shared_models.records.gardens import Note
from shared_models.records.jobs import Job
from shared_models.records.tallies import Pick, Visit
from shared_models.records.traps import TrapVisit
from tests.window.invented import TYPE_SIZES, Invented, open_at, shown_screen, stored, used
from tests.window.look import complaints


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone in use, with a spray and a helper."""
    return sprayed(used(tmp_path / "data"))


def sprayed(found: Invented) -> Invented:
    """The same phone with a spray and a helper."""
    store = PhoneStore(found.settings.file, found.clock)
    add_person(store, "Bert")
    label = {"name": "Invented white film", "pre_harvest_days": 7, "re_entry_hours": 4.0}
    record_job(
        store,
        "kaolin_film",
        trees=found.trees[:6],
        minutes=40,
        told=Told("2026-06-04T08:00:00+02:00"),
        products=[label],
    )
    store.close()
    return found


def spray(invented: Invented) -> Job:
    """The spray as it is on disk."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = next(job for job in store.all(Job) if job.when.startswith("2026-06-04"))
    store.close()
    return found


def open_line(phone, text: str, size: tuple[int, int] = (360, 640)) -> None:
    """Open a line of the history that shows a text."""
    phone.touch(text)
    phone.settle()


def test_the_newest_day_stands_first_under_its_heading_and_lines_open(phone, invented):
    app = open_at(phone, invented, "history", (360, 640))
    rows = shown_screen(app)._listed.rows
    assert [row.text for row in rows[:2]] == ["Thursday 4 June", "kaolin film: 1, 2, 3, 4, 5, 6"]
    assert rows[1].second == "08:00 · Ida" and rows[0].name == ""
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    assert app.frame.way.here.about == {"rec": spray(invented).rec}
    assert phone.sees("minutes: 40") and phone.sees("trees: 1–6")
    assert phone.sees("products: Invented white film")


def test_a_field_is_corrected_with_a_reason_and_both_versions_are_read(phone, invented):
    open_at(phone, invented, "history", (360, 640))
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    phone.touch("Correct what it says")
    phone.fill("Minutes", "55")
    phone.touch("Only partly done") if phone.sees("Only partly done") else phone.touch("Partly done")
    phone.touch("This is right")
    phone.touch("This is why")
    assert phone.sees("Say why; the reason stays beside both versions.")
    phone.touch("Typed wrongly")
    assert (spray(invented).minutes, spray(invented).partly) == (55, True)
    assert phone.sees("minutes: 55, before that 40") and phone.sees("Why: Typed wrongly")
    phone.touch("Undo")
    assert (spray(invented).minutes, spray(invented).partly) == (40, False)
    assert phone.sees("minutes: 40, before that 55")
    phone.touch("Back")
    assert phone.sees("corrected 2 times")


def test_nothing_changed_is_said_and_nothing_is_recorded(phone, invented):
    open_at(phone, invented, "history", (360, 640))
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    phone.touch("Correct what it says")
    phone.touch("This is right")
    phone.touch("Typed wrongly")
    assert phone.sees("Nothing was changed; type what it should be.")


def test_what_was_typed_from_a_label_is_corrected(phone, invented):
    open_at(phone, invented, "history", (360, 640))
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    phone.touch("Correct the label of Invented white film")
    phone.fill("Days from spraying to picking", "14")
    phone.touch("Keep this product")
    phone.touch("Typed wrongly")
    (product,) = spray(invented).products
    assert (product.pre_harvest_days, product.re_entry_hours) == (14, 4.0)


@pytest.mark.parametrize("type_size", TYPE_SIZES)
def test_a_spray_has_a_sign_for_its_row(phone, tmp_path, type_size):
    open_at(phone, sprayed(used(tmp_path / "large", "dusk", type_size)), "history", (360, 640))
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    phone.touch("A sign for the row")
    assert phone.sees("SPRAYED") and phone.sees("Trees: 1, 2, 3, 4, 5, 6") and phone.sees("Keep out until ")
    assert phone.sees("The label is the law") and complaints() == []
    phone.touch("Close")
    assert phone.sees("What was said, and when")


def test_what_is_no_spray_has_no_sign(phone, invented):
    open_at(phone, invented, "history_line", (360, 640))
    assert not phone.sees("A sign for the row")


def test_other_trees_another_time_and_another_person(phone, invented):
    open_at(phone, invented, "history", (360, 640))
    phone.touch("kaolin film: 1, 2, 3, 4, 5, 6")
    phone.touch("It was other trees")
    phone.fill("Trees such as 1-12, 15, in walking order", "2-4")
    phone.touch("These trees")
    phone.touch("Typed wrongly")
    phone.touch("It was at another time")
    phone.touch("A day")
    phone.touch("This day")
    phone.touch("Entered later")
    phone.touch("Somebody else did it")
    phone.touch("Bert")
    phone.fill("Or in your own words", "He told me")
    phone.touch("This is why")
    store = PhoneStore(invented.settings.file, invented.clock)
    (job,) = [one for one in store.all(Job) if one.products and one.minutes == 40]
    reasons = [version.reason for version in versions(store, job.rec)][1:]
    store.close()
    assert (job.trees, job.when) == (list(invented.trees[1:4]), "2026-06-03")
    assert job.person != job.by and reasons == ["Typed wrongly", "Entered later", "He told me"]


def test_a_visit_is_moved_to_another_tree_with_its_picks_and_back(phone, invented):
    open_at(phone, invented, "history_line", (360, 640))
    phone.touch("It was another tree")
    phone.fill("Label or cultivar", "4")
    phone.touch("Tree 4")
    visit = stored(invented, Visit, invented.scored)
    assert visit.tree == invented.trees[3] and phone.sees("tree: 4, before that 10")
    store = PhoneStore(invented.settings.file, invented.clock)
    picks = {pick.tree for pick in store.all(Pick) if pick.when == visit.when}
    store.close()
    assert picks <= {invented.trees[3]}
    phone.touch("Undo")
    assert stored(invented, Visit, invented.scored).tree == invented.trees[9]


def test_a_count_is_corrected_by_a_difference(phone, invented):
    open_at(phone, invented, "history_line", (360, 640))
    phone.touch("Correct the count")
    phone.touch("deep entry: 7")
    phone.fill("How many more, or fewer with a − before it?", "-2")
    phone.touch("By so many")
    phone.touch("Typed wrongly")
    assert phone.sees("deep entry: 5")
    phone.touch("Undo")
    assert phone.sees("deep entry: 7")


def test_a_trap_visit_is_moved_to_another_trap(phone, invented):
    open_at(phone, invented, "history", (412, 892))
    phone.touch("Trap 2: 14 moths")
    phone.touch("It was another trap")
    phone.touch("Trap 1")
    store = PhoneStore(invented.settings.file, invented.clock)
    (moved,) = [visit for visit in store.all(TrapVisit) if visit.moths == 14]
    store.close()
    assert moved.trap == invented.traps[0]


def test_what_is_undone_stays_readable_and_is_put_back(phone, invented):
    open_at(phone, invented, "history_line", (360, 640))
    phone.touch("Undo it")
    assert stored(invented, Visit, invented.scored) is None and phone.sees("This was undone")
    phone.touch("Back") if phone.sees("Back") else None
    phone.app.frame.go("history")
    phone.settle()
    rows = shown_screen(phone.app)._listed.rows
    assert any(row.name == invented.scored and "undone" in row.second for row in rows)
    phone.app.frame.go("history_line", rec=invented.scored)
    phone.settle()
    phone.touch("Put it back")
    assert stored(invented, Visit, invented.scored) is not None


def test_the_history_is_filtered_by_tree_trap_person_and_kind(phone, invented):
    app = open_at(phone, invented, "history", (360, 640))
    for way, words in (
        (("Shown: Everything", "One trap", "Trap 2"), "Shown: trap 2"),
        (("Shown: trap 2", "Everything"), "Shown: Everything"),
        (("Shown: Everything", "One kind", "Work and sprays"), "Shown: Work and sprays"),
    ):
        for text in way:
            phone.touch(text)
        assert phone.sees(words)
    kinds = {row.sign for row in shown_screen(app)._listed.rows if row.name}
    assert kinds == {"work"}
    phone.touch("Shown: Work and sprays")
    phone.touch("One person")
    phone.touch("Bert")
    assert phone.sees("Nothing yet")
    phone.touch("Shown: Work and sprays · by Bert")
    phone.touch("Everything")
    phone.touch("Shown: Everything")
    phone.touch("One tree")
    phone.fill("Label or cultivar", "10")
    phone.touch("Tree 10")
    assert invented.scored in {row.name for row in shown_screen(app)._listed.rows}


def test_five_thousand_lines_are_there_after_a_touch_and_scroll(phone, invented):
    store = PhoneStore(invented.settings.file, invented.clock)
    days = [f"2024-{1 + n % 12:02d}-{1 + n % 28:02d}" for n in range(5000)]
    store.record_all(
        [Draft(Note.kind, {"text": f"Invented note {n}", "when": day}) for n, day in enumerate(days)]
    )
    store.close()
    app = open_at(phone, invented, "history", (412, 892))
    assert len(shown_screen(app)._listed.rows) < 200
    few = seconds_a_frame(phone, shown_screen(app)._listed)
    for rows in (1000, 5000):
        phone.touch("Further back")
        phone.until(lambda least=rows: len(shown_screen(app)._listed.rows) > least, 60)
    many = seconds_a_frame(phone, shown_screen(app)._listed)
    assert many < 2.5 * few  # the same distance in pixels: only what is in sight costs anything
    assert phone.sees("Invented note")


def seconds_a_frame(phone, listed) -> float:
    """How long a frame takes while a finger draws the list, the middle of many."""
    phone.frames(4)
    taken = []
    for _ in range(40):
        listed.scroll_y -= 30 / (listed.children[0].height - listed.height)
        began = time.perf_counter()
        phone.frames(1)
        taken.append(time.perf_counter() - began)
    return sorted(taken)[len(taken) // 2]


@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize(
    ("screen", "path"),
    [
        ("history", ("Shown: Everything",)),
        ("history", ("Shown: Everything", "One kind")),
        ("history_line", ("Correct what it says",)),
        ("history_line", ("Correct the count",)),
        ("history_line", ("Somebody else did it",)),
        ("history_line", ("Somebody else did it", "Ida")),
    ],
)
def test_every_sheet_of_the_history_can_be_read_and_touched(phone, tmp_path, type_size, screen, path):
    open_at(phone, used(tmp_path / "data", "dusk", type_size), screen, (360, 640))
    for words in path:
        phone.touch(words)
    phone.frames(4)
    assert complaints() == []

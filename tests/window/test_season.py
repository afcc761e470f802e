"""The Season place in the window: counted beside everything else, its trees and tables one touch away."""

from __future__ import annotations

import re
import threading
from pathlib import Path
from typing import Any

import pytest

from mobile.screens import counted
from mobile.storage.phone_store import PhoneStore
from mobile.widgets.chart import Chart
from mobile.widgets.chart_row import ChartRow
from mobile.widgets.columns import Scroll
from mobile.workflows.season import report_of
from mobile.workflows.tree_plans import leave_out
from shared_models.language import together
from shared_models.report_text import as_text
from shared_models.season.choice import Choice
from tests.mobile.harvest import SEASON
from tests.window.invented import Invented, fresh, open_at, shown_screen, used
from tests.window.phone import Phone, shown


@pytest.fixture
def invented(tmp_path: Path) -> Invented:
    """A phone in use, with last year's harvest."""
    return used(tmp_path / "data")


def rows(phone: Phone) -> list[str]:
    """The lines of the season table as they are shown."""
    top = shown_screen(phone.app)  # type: ignore[arg-type]
    return [widget.text for widget in shown(top) if isinstance(widget, ChartRow)]


def test_the_place_says_what_the_report_says(phone, invented):
    open_at(phone, invented, "season", (412, 892))
    store = PhoneStore(invented.settings.file, invented.clock)
    text = re.sub("[ \n]+", " ", as_text(report_of(store, SEASON)))
    store.close()
    assert rows(phone) == [
        "bagging",
        "granulovirus (CpGV)",
        "left untreated",
        "bare beside bagged fruit: nothing else",
    ]
    sentences = [text for text in phone.texts() if text.startswith(("Can't tell", "Points to"))]
    assert len(sentences) == 3 and all(sentence in text for sentence in sentences)
    assert phone.sees("Season 2025") and phone.sees("From the records of this phone alone.")


def test_a_line_leads_to_its_trees_and_a_tree_to_its_ledger_and_back_again(phone, invented):
    app = open_at(phone, invented, "season", (360, 640))
    phone.touch("granulovirus (CpGV)")
    assert phone.sees(together("30.0 %")) is False and phone.sees(together("10.0 %, likely"))
    phone.touch("Lower garden by the old mill · 4 (Early Red)")
    assert phone.sees("What was counted") and phone.sees("3 of 30 damaged")
    phone.touch("Back")
    phone.touch("Back")
    assert app.frame.way.here.screen == "season"


@pytest.mark.parametrize(
    ("button", "says"),
    [
        ("The same as a table", together("picked only: 13.3 % damaged")),
        ("What was counted on each tree", "9 of 30 damaged"),
        ("The figures behind it", "p values"),
    ],
)
def test_every_chart_has_its_table_one_touch_away(phone, invented, button, says):
    open_at(phone, invented, "season", (360, 640))
    phone.touch(button)
    assert phone.sees(says)


def test_catches_are_drawn_week_by_week_and_told_in_a_table(phone, invented):
    app = open_at(phone, invented, "season", (412, 892))
    app.frame.go("season", season="2026", garden=None)
    phone.settle()
    drawings = [widget.drawing for widget in shown(shown_screen(app)) if isinstance(widget, Chart)]
    assert any("moths a trap. The scale goes" in drawing.told for drawing in drawings)
    phone.touch("Week by week as a table")
    assert phone.sees("moths a trap")


def test_another_season_and_one_garden_are_chosen_at_the_thumb(phone, invented):
    app = open_at(phone, invented, "season", (360, 640))
    phone.touch("Season 2025 · all gardens")
    phone.touch("Hill")
    assert app.frame.way.here.about["garden"] and phone.sees("Season 2025 · Hill")
    assert phone.sees("Nothing was recorded for this season yet")
    phone.touch("Season 2025 · Hill")
    phone.touch("Season 2026")
    assert phone.sees("Season 2026 · all gardens")


def test_deep_entry_by_itself_is_chosen_and_said(phone, invented):
    app = open_at(phone, invented, "season", (360, 640))
    phone.touch("Season 2025 · all gardens")
    phone.touch("Deep entry only")
    assert app.frame.way.here.about == {"season": SEASON, "damage": "deep"}
    assert phone.sees("Damage here is the share of fruit with a codling moth deep entry.")
    phone.touch("left untreated")
    phone.touch("Back")
    assert app.frame.way.here.about == {"season": SEASON, "damage": "deep"} and phone.sees("a part")


def test_years_stand_side_by_side_and_one_tree_over_the_years(phone, invented):
    app = open_at(phone, invented, "season", (360, 640))
    phone.touch("Years side by side")
    assert app.frame.way.here.about == {"half": "north"} and phone.sees("Seasons ")
    phone.touch("What each tree gave for the work it took")
    assert phone.sees("Lower garden by the old mill · 1 (Early Red)") and phone.sees(
        "An opinion on a tree takes 3 seasons"
    )
    app.frame.go("season_tree", **invented.about("season_tree"))
    phone.settle()
    phone.touch("This tree over the years")
    assert phone.sees("Lower garden by the old mill · 8 (Early Red)") and not phone.sees(
        "mill · 1 (Early Red)"
    )


def test_every_part_of_the_place_is_two_touches_away(phone, invented):
    app = open_at(phone, invented, "season", (360, 640))
    phone.touch("Go to")
    phone.touch("What it took")
    phone.frames(4)
    screen = shown_screen(app)
    title = next(widget for widget in shown(screen) if getattr(widget, "text", "") == "What it took")
    top = title.to_window(title.x, title.y)[1] + title.height
    reading = screen.reading
    assert reading.y + reading.height - 60 < top <= reading.y + reading.height
    phone.touch("Tree by tree, one dot each")
    phone.touch("Back")
    assert 0 < shown_screen(app).reading.scroll_y < 0.5  # where it was left


def test_a_place_that_was_counted_shows_at_once_and_is_counted_again_behind(phone, invented, monkeypatch):
    app = open_at(phone, invented, "season", (360, 640))
    gate = threading.Event()

    def slow(store: PhoneStore, season: str, of: Choice) -> object:
        gate.wait(10)
        return report_of(store, season, of)

    monkeypatch.setattr(counted, "report_of", slow)
    store = PhoneStore(invented.settings.file, invented.clock)
    leave_out(store, invented.trees[0], "its label was lost", season=SEASON)
    store.close()
    app.frame.go("today")
    app.frame.go("season", **invented.about("season"))
    phone.until(lambda: rows(phone))
    assert phone.sees("Counting again") and not phone.sees("its label was lost")
    scroll: Any = next(widget for widget in shown(shown_screen(app)) if isinstance(widget, Scroll))
    scroll.scroll_y = 0.4  # as a finger would
    gate.set()
    phone.settle()
    assert phone.sees("its label was lost") and not phone.sees("Counting again")
    assert scroll.scroll_y == pytest.approx(0.4, abs=0.02)


def test_a_touch_is_written_while_a_season_is_counted(phone, invented, monkeypatch):
    gate = threading.Event()
    app = open_at(phone, invented, "today", (360, 640))

    def slow(store: PhoneStore, season: str, of: Choice) -> object:
        gate.wait(10)
        return report_of(store, season, of)

    monkeypatch.setattr(counted, "report_of", slow)
    app.frame.go("season", **invented.about("season"))
    phone.until(lambda: phone.sees("Counting what was recorded"))
    app.frame.go("trap", **invented.about("trap"))
    phone.until(lambda: shown_screen(app).__class__.__name__ == "TrapScreen" and phone.sees("+1 moth"))
    phone.tap(phone.find("+1 moth"))
    phone.until(lambda: shown_screen(app)._pad.number == "1")
    gate.set()
    phone.settle()


def test_before_any_garden_it_says_what_to_do(phone, tmp_path: Path):
    app = open_at(phone, fresh(tmp_path / "data"), "begin", (360, 640))
    phone.fill("Your name or initials", "Ida")
    phone.touch("Begin")
    app.frame.go("season")
    phone.settle()
    assert phone.sees("No season yet")
    phone.touch("Name a garden")
    assert phone.sees("What is it called?")


def test_closed_at_a_tree_it_opens_at_that_tree(phone, invented):
    open_at(phone, invented, "season_tree", (360, 640))
    phone.close()
    app = open_at(phone, invented, "season_tree", (360, 640))
    assert app.frame.way.here.about["tree"] == invented.trees[7] and phone.sees("What was counted")

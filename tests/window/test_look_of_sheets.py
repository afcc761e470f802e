"""What lies over a screen, and the bar that says what was recorded: read and touched in every size and type size."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.window.invented import SIZES, TYPE_SIZES, in_spring, open_at
from tests.window.look import complaints

# By screen: what is touched there, one after the other, until the sheet or the bar is shown.
OPENED: dict[str, list[list[str]]] = {
    "trap": [["Not counted"], ["When?"], ["Type a number"], ["+1 moth", "+1 moth"], ["None"]],
    "bag_tree": [["Took"], ["Type a number"], ["+1 bag", "Left"], ["+10"], ["When?"]],
    "pick_tree": [["Bagged or bare?"], ["Picked from the tree"], ["Clean", "Sting"], ["Lock"]],
    "drops": [["Lower garden by the old mill"], ["A bucket for the whole garden"]],
    "drops_tree": [["Number"], ["Damaged drop"], ["None"]],
    "job": [["Type a product's label"], ["Which trees?"], ["When?"], ["Record this"]],
    "season": [["Season 2025"], ["Go to"]],
    "history": [["Shown: Everything"]],
    "history_line": [["Correct what it says"], ["Correct the count"], ["It was another tree"], ["Undo it"]],
    "orchard": [["Search"], ["Order"]],
    "tree_page": [["Add a cultivar"], ["Place in walking order"]],
    "temperature": [["Thursday 4 June"]],
    "people": [["Bartholomew"]],
    "settings": [["Buzz"]],
    "timing": [["first egg hatch (139"], ["events quoted from memory"]],
    "timing_how": [
        ["When the flight"],
        ["How warmth"],
        ["Between which"],
        ["Which thermometer"],
        ["What fills"],
    ],
    "due_rules": [["A lure lasts four to six weeks"], ["Trunk bands go on"]],
}


@pytest.mark.timeout(600)
@pytest.mark.parametrize("type_size", TYPE_SIZES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_whatever_a_touch_opens_can_be_read_and_touched(phone, tmp_path: Path, size, type_size):
    invented = in_spring(tmp_path / "data", "dusk" if type_size == 1.0 else "sun", type_size)
    app = open_at(phone, invented, "today", size)
    found: dict[str, list[str]] = {}
    for screen, ways in OPENED.items():
        for touches in ways:
            app.frame.go(screen, **invented.about(screen))
            phone.settle()
            for text in touches:
                phone.touch(text)
            phone.frames(8)
            found[f"{screen}: {' > '.join(touches)}"] = complaints()
            app.frame.close_sheets()
    assert {state: wrong for state, wrong in found.items() if wrong} == {}

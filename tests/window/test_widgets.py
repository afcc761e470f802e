"""The widgets by themselves: what a finger does to them, and what they tell."""

from __future__ import annotations

from functools import partial

import pytest
from kivy.app import App
from kivy.core.window import Window
from kivy.uix.widget import Widget

from mobile.theme import theme
from mobile.widgets.bars import UndoBar
from mobile.widgets.buttons import Action
from mobile.widgets.choices import Choice, OnOff, Stepper
from mobile.widgets.columns import Even, Scroll
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.glass import Glass
from mobile.widgets.held_key import HeldKey
from mobile.widgets.key_field import KeyField
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.pad import Key, Pad
from mobile.widgets.sheet import Sheet
from mobile.widgets.signs import SIGNS, Path, Ring
from mobile.widgets.words import Words
from shared_models.errors import BadInputError
from tests.window.look import complaints
from tests.window.phone import Finger


class Showing(App):
    """Some widgets one below the other, under the glass."""

    def __init__(self, *content: Widget) -> None:
        super().__init__()
        self.glass, self.scroll = Glass(), Scroll()
        self.scroll.fill(*content)
        self.glass.add_widget(self.scroll)

    def build(self) -> Glass:
        return self.glass


@pytest.fixture
def told() -> list[object]:
    """What widgets told."""
    return []


def down_and_up(phone, widget: Widget, seconds: float = 1 / 60) -> None:
    """A touch of one frame."""
    finger = Finger(*widget.to_window(*widget.center))
    finger.down()
    phone.frames(1, seconds)
    finger.up()


def bare_pad(phone, told: list[object]) -> Pad:
    """A pad alone under the glass, where no list delays a touch."""
    pad = Pad("+1", lambda: told.append("one"))
    app = Showing()
    app.glass.add_widget(pad)
    phone.open(app)
    return pad


def test_a_pad_acts_when_the_finger_comes_down_and_once(phone, told):
    pad = bare_pad(phone, told)
    finger = Finger(*pad.to_window(*pad.center))
    finger.down()
    assert told == ["one"]
    phone.frames(2)
    finger.up()
    assert told == ["one"]


def test_a_bounce_at_the_same_place_is_dropped(phone, told):
    pad = bare_pad(phone, told)
    down_and_up(phone, pad)
    phone.frames(2)  # 33 ms
    down_and_up(phone, pad)
    assert told == ["one"]


def test_a_quick_thumb_is_counted_every_time(phone, told):
    pad = bare_pad(phone, told)
    for _ in range(10):
        down_and_up(phone, pad)
        phone.frames(4)  # 67 ms
    assert len(told) == 10


def test_a_late_frame_drops_no_touch(phone, told):
    pad = bare_pad(phone, told)
    down_and_up(phone, pad)
    phone.frames(1, 0.05)  # two touches that were made apart arrive together
    down_and_up(phone, pad, 1 / 60)
    assert len(told) == 2


def test_a_touch_elsewhere_is_no_bounce(phone, told):
    pad = Pad("+1", lambda: told.append("pad"), pos_hint={"y": 0})
    far = Action("other", lambda: told.append("other"), pos_hint={"top": 1})
    app = Showing()
    app.glass.add_widget(pad)
    app.glass.add_widget(far)
    phone.open(app)
    down_and_up(phone, pad)
    down_and_up(phone, far)
    assert told == ["pad", "other"]


def test_a_second_finger_does_nothing_while_the_first_lies(phone, told):
    pad = bare_pad(phone, told)
    first, second = (Finger(*pad.to_window(pad.x + away, pad.center_y)) for away in (40, 300))
    first.down()
    phone.frames(6)
    second.down()
    phone.frames(6)
    second.up()
    first.up()
    assert told == ["one"]
    phone.frames(6)
    down_and_up(phone, pad)
    assert len(told) == 2


def test_an_action_acts_when_the_finger_leaves_and_not_when_it_slid_away(phone, told):
    action = Action("do it", lambda: told.append("done"))
    app = Showing()
    app.glass.add_widget(action)
    phone.open(app)
    finger = Finger(*action.to_window(*action.center))
    finger.down()
    phone.frames(3)
    assert told == []
    finger.slide_to(*action.to_window(action.center_x, action.top + 200))
    finger.up()
    assert told == []
    phone.frames(6)
    phone.tap(action)
    assert told == ["done"]


def test_a_choice_tells_the_value_and_shows_one_answer(phone, told):
    choice = Choice([(1, "one"), (2, "two"), (3, "three")], told.append)
    phone.open(Showing(choice))
    assert choice.chosen is None
    phone.tap(phone.find("two"))
    phone.wait(0.2)
    phone.tap(phone.find("three"))
    assert told == [2, 3] and choice.chosen == 3


def test_a_switch_tells_what_it_is_after_the_touch(phone, told):
    phone.open(Showing(OnOff("New liner", told.append)))
    for _ in range(2):
        phone.tap(phone.find("New liner"))
        phone.wait(0.2)
    assert told == [True, False]


def test_a_stepper_stays_within_its_bounds(phone, told):
    stepper = Stepper(2, told.append, least=1, most=3)
    phone.open(Showing(stepper))
    less, _number, more = reversed(stepper.children)
    for button in (more, more, less, less, less):
        phone.tap(button)
        phone.wait(0.2)
    assert told == [3, 2, 1] and stepper.value == 1


@pytest.mark.parametrize(("typed", "number"), [("12", 12), ("3,5", 3.5), ("3.5", 3.5), ("", None)])
def test_a_number_field_reads_point_and_comma(phone, typed, number):
    field = NumberField("How many?")
    phone.open(Showing(field))
    phone.tap(field.typed)
    phone.type(typed)
    assert field.number() == number and field.error == ""


@pytest.mark.parametrize(("typed", "sentence"), [("many", "no number"), ("3,5", "no whole number")])
def test_a_number_that_cannot_be_taken_is_told_below_the_field(phone, typed, sentence):
    field = NumberField("How many?", typed)
    phone.open(Showing(field))
    with pytest.raises(BadInputError):
        field.whole()
    phone.frames(3)
    assert sentence in field.error and phone.sees(field.error)
    assert complaints() == []
    phone.tap(field.typed)
    phone.type("1")
    assert field.error == ""


def test_a_text_field_tells_every_change(phone, told):
    field = TextField("Name", "", told.append)
    phone.open(Showing(field))
    phone.tap(field.typed)
    phone.type("Ida")
    assert told[-1] == "Ida" and field.text == "Ida"


def test_a_sheet_takes_all_touches_and_closes_beside_itself(phone, told):
    below = Action("below", lambda: told.append("below"))
    app = Showing(below)
    phone.open(app)
    app.glass.add_widget(Sheet("A question", Action("An answer", lambda: told.append("answer"))))
    phone.frames(4)
    phone.tap(below)
    assert told == [] and not any(isinstance(widget, Sheet) for widget in app.glass.children)
    phone.wait(0.2)
    phone.tap(below)
    assert told == ["below"]


def test_the_undo_bar_takes_no_room_until_something_was_recorded(phone, told):
    bar = UndoBar()
    phone.open(Showing(bar))
    assert bar.height == 0
    bar.show("Trap 1: 3 moths.", lambda: told.append("undone"))
    phone.frames(4)
    assert bar.height >= 64
    phone.tap(phone.find("Undo"))
    assert told == ["undone"]


def test_the_undo_bar_without_a_way_back_offers_none(phone):
    bar = UndoBar()
    phone.open(Showing(bar))
    bar.show("Taken back.")
    phone.frames(4)
    assert phone.sees("Taken back.") and not phone.sees("Undo")


def test_a_list_of_five_thousand_makes_few_widgets_and_tells_the_row(phone, told):
    rows = [Listed(str(number), f"Tree {number}", "Early Red", "tree") for number in range(5000)]
    listed = LongList(told.append, rows)
    app = Showing()
    app.glass.add_widget(listed)
    phone.open(app)
    phone.frames(4)
    assert len(list(listed.walk())) < 600
    phone.tap(phone.find("Tree 3"))
    phone.wait(0.2)
    listed.scroll_y = 0
    phone.frames(4)
    phone.tap(phone.find("Tree 4999"))
    assert told == ["3", "4999"]


def test_keys_are_of_one_size_and_at_least_ninety_six_high(phone, told):
    keys = [
        Key(word, partial(told.append, word), sign="fruit", count="3")
        for word in ("Clean", "Sting", "Deep entry", "Other insect", "Other", "Not sure")
    ]
    phone.open(Showing(KeyField(keys)), (360, 640))
    phone.frames(4)
    assert len({(key.width, key.height) for key in keys}) == 1
    assert complaints() == []
    phone.tap(keys[2])
    assert told == ["Deep entry"]


def test_words_grow_with_the_type_size(phone):
    words = Words("Every word of this sentence is read in the sun and none of it is cut.")
    phone.open(Showing(words), (360, 640))
    before = words.height
    try:
        theme.type_size = 1.5
        phone.frames(4)
        assert words.height > 1.5 * before and complaints() == []
    finally:
        theme.type_size = 1.0


def test_colours_follow_the_scheme_at_once(phone):
    words = Words("Trap 1")
    phone.open(Showing(words))
    try:
        theme.scheme = "dusk"
        phone.frames(1)
        assert list(words.color) == theme.colour("ink") and Window.children
    finally:
        theme.scheme = "sun"


@pytest.mark.parametrize("name", list(SIGNS))
def test_a_sign_stays_within_its_square(name):
    for stroke in SIGNS[name]:
        if isinstance(stroke, Path):
            assert all(0 <= value <= 1 for value in stroke.points) and len(stroke.points) % 2 == 0
        elif isinstance(stroke, Ring) and stroke.end - stroke.start == 360:
            assert stroke.across <= min(stroke.x, 1 - stroke.x) and stroke.up <= min(stroke.y, 1 - stroke.y)


def test_things_side_by_side_are_as_high_as_the_one_that_needs_most(phone):
    long = Action("so many words that they need several lines in a narrow place", lambda: None)
    short = Action("few", lambda: None)
    phone.open(Showing(Even(long, short)), (360, 640))
    phone.frames(4)
    assert long.height == short.height >= long.minimum_height > 64
    assert complaints() == []


def test_a_key_that_is_held_does_the_other_thing_and_only_that(phone, told):
    key = HeldKey("Sting", lambda: told.append("struck"), lambda: told.append("held"))
    app = Showing()
    app.glass.add_widget(KeyField([key], pos_hint={"y": 0}))
    phone.open(app)
    phone.tap(key)
    phone.wait(0.2)
    phone.tap(key, hold=0.9)
    phone.wait(0.2)
    phone.tap(key)
    assert told == ["struck", "held", "struck"]


def test_a_wet_thumb_that_slides_off_a_key_has_struck_it(phone, told):
    key = HeldKey("Sting", lambda: told.append("struck"), lambda: told.append("held"))
    app = Showing()
    app.glass.add_widget(KeyField([key], size_hint_y=None, pos_hint={"y": 0}))
    phone.open(app)
    finger = Finger(*key.to_window(*key.center))
    finger.down()
    phone.frames(3)
    finger.slide_to(*key.to_window(key.center_x, key.top + 60))
    finger.up()
    assert told == ["struck"]


def test_words_that_cannot_be_touched_now_are_still_read(phone):
    action = Action("2: then here", lambda: None, disabled=True)
    phone.open(Showing(action), (360, 640))
    phone.frames(4)
    words = next(widget for widget in action.walk() if isinstance(widget, Words) and widget.text)
    assert words.disabled and list(words.disabled_color) == theme.colour("quiet")


@pytest.mark.parametrize("number", ["1", "50", "888", "1234"])
@pytest.mark.parametrize("type_size", [1.0, 1.5])
def test_a_number_on_a_pad_is_whole_whatever_the_type_size(phone, number, type_size):
    try:
        theme.type_size = type_size
        pad = Pad("+1 bag", lambda: None, sign="bag")
        pad.number = number
        phone.open(Showing(pad), (360, 640))
        phone.frames(4)
        assert complaints() == [] and pad.height < 140
    finally:
        theme.type_size = 1.0

"""Label arithmetic: what governs, over changes of the clocks, and what is never said."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.label_clocks import first_picking_day, keep_outs, label_warnings, re_entry_ends
from mobile.workflows.moments import Told, today
from mobile.workflows.spray import NOT_GIVEN, UNTIL_DRY, FromLabel, SprayTold, record_spray
from mobile.workflows.today import today_view
from mobile.workflows.trees import add_tree, say_same
from tests.mobile.phones import SetClock


def sprayed(
    phone: PhoneStore, tree: str, *mix: FromLabel, when: str | None = None, ended: str | None = None
) -> str:
    """A spray of one tree; returns its job."""
    return record_spray(
        phone, SprayTold("other_insecticide", mix, trees=[tree], ended=ended, told=Told(when=when))
    ).job


def test_keep_out_runs_from_the_end_of_the_spray_by_the_longest_interval(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    mix = (FromLabel("One", re_entry_hours=4), FromLabel("Two", re_entry_hours=12))
    sprayed(phone, row[0], *mix, when="2026-09-12T08:00:00+02:00", ended="2026-09-12T09:30:00+02:00")
    (keep_out,) = keep_outs(phone)
    assert keep_out.until == datetime(2026, 9, 12, 21, 30, tzinfo=ZoneInfo("Europe/Rome"))
    assert (
        keep_out.sentence
        == "Trees 1: keep out until 21:30 Saturday, the end of the typed interval after One, Two."
    )
    clock.move(hours=11, minutes=30)
    assert keep_outs(phone) == []


@pytest.mark.parametrize(
    ("when", "ends", "from_day"),
    [
        ("2026-09-12", "2026-09-13T04:00:00+02:00", "Saturday 12 September"),
        ("2026-09-11", "2026-09-12T04:00:00+02:00", None),  # ended six hours ago
        ("2026-09-10/2026-09-12", "2026-09-13T04:00:00+02:00", "Saturday 12 September"),
    ],
)
def test_an_interval_of_a_spray_noted_as_a_day_runs_from_the_end_of_that_day(
    phone: PhoneStore, tree: str, when: str, ends: str, from_day: str | None
) -> None:
    sprayed(phone, tree, FromLabel("One", re_entry_hours=4), when=when)
    found = today_view(phone).keep_out
    assert [one.until for one in found] == [datetime.fromisoformat(ends)][: len(found)]
    assert [one.sentence for one in found] == (
        [
            "Trees 7: keep out until 04:00 Sunday, the end of the typed interval after One. "
            f"The time of day was not noted; counted from the end of {from_day}."
        ]
        if from_day
        else []
    )


def test_an_end_of_the_day_on_which_the_clocks_change_is_midnight_by_the_clock(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    clock.time = datetime(2026, 10, 25, 12, 0, tzinfo=ZoneInfo("Europe/Rome"))
    sprayed(phone, tree, FromLabel("One", re_entry_hours=1), when="2026-10-25")
    (keep_out,) = keep_outs(phone)
    assert keep_out.until == datetime.fromisoformat("2026-10-26T01:00:00+01:00")


def test_an_end_noted_as_a_day_goes_before_the_moment_of_the_beginning(phone: PhoneStore, tree: str) -> None:
    sprayed(
        phone,
        tree,
        FromLabel("One", re_entry_hours=4),
        when="2026-09-11T18:00:00+02:00",
        ended="2026-09-12",
    )
    (keep_out,) = keep_outs(phone)
    assert keep_out.until == datetime.fromisoformat("2026-09-13T04:00:00+02:00")


def test_an_interval_of_a_spray_of_no_known_day_is_counted_from_its_entry(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    sprayed(phone, tree, FromLabel("One", re_entry_hours=200), when="unknown")
    (keep_out,) = keep_outs(phone)
    assert keep_out.until == datetime.fromisoformat("2026-09-20T18:00:00+02:00")
    assert "until Sunday 20 September, 18:00, the end" in keep_out.sentence
    assert keep_out.sentence.endswith("The day of the spray was not noted; counted from when it was entered.")
    clock.move(hours=200)
    assert keep_outs(phone) == []


@pytest.mark.parametrize("when", [None, "2026-09-12T08:00:00+02:00", "2026-09-12", "2026-09-10", "unknown"])
@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (UNTIL_DRY, "Trees 7: keep out until the spray has dried (One)."),
        (
            NOT_GIVEN,
            "Trees 7: no re-entry interval was typed for One; see the label before anybody goes in.",
        ),
        (None, "Trees 7: no re-entry interval was typed for One; see the label before anybody goes in."),
    ],
)
def test_a_spray_without_a_number_of_hours_stands_on_today_without_an_end(
    phone: PhoneStore, tree: str, clock: SetClock, when: str | None, asked: Any, sentence: str
) -> None:
    sprayed(phone, tree, FromLabel("One", re_entry_hours=asked), when=when)
    assert [(one.until, one.sentence) for one in today_view(phone).keep_out] == [(None, sentence)]
    clock.move(days=4)
    assert today_view(phone).keep_out == ()


def test_each_product_of_a_mix_is_heard(phone: PhoneStore, tree: str) -> None:
    mix = (
        FromLabel("Wet", re_entry_hours=UNTIL_DRY),
        FromLabel("Silent"),
        FromLabel("Hours", re_entry_hours=2),
    )
    sprayed(phone, tree, *mix)
    said = [one.sentence for one in keep_outs(phone)]
    assert [one.until is None for one in keep_outs(phone)] == [True, True, False]
    assert "dried (Wet)" in said[0] and "typed for Silent" in said[1] and "until 12:00 Saturday" in said[2]


def test_a_tree_with_two_records_is_named_by_its_label(
    phone: PhoneStore, garden: str, tree: str, clock: SetClock
) -> None:
    clock.move(seconds=1)  # the smaller id's label holds
    other = add_tree(phone, "7b", garden).trees[0]
    sprayed(phone, other, FromLabel("One", re_entry_hours=4))
    say_same(phone, tree, other)
    assert keep_outs(phone)[0].sentence.startswith("Trees 7: keep out")


def test_hours_are_real_hours_when_the_clocks_go_back(phone: PhoneStore) -> None:
    """24 hours after 18:00 on the day before the clocks go back is 17:00 by the new time."""
    ended = datetime(2026, 10, 24, 18, 0, tzinfo=ZoneInfo("Europe/Rome"))
    assert re_entry_ends(ended, 24).isoformat() == "2026-10-25T17:00:00+01:00"


def test_hours_are_real_hours_when_the_clocks_go_forward_over_the_spraying_night(phone: PhoneStore) -> None:
    """In Rome on 29 March 2026 the clock goes from 2 to 3: eight hours after 22:30 it shows 7:30."""
    ended = datetime(2026, 3, 28, 22, 30, tzinfo=ZoneInfo("Europe/Rome"))
    assert re_entry_ends(ended, 8) == datetime(2026, 3, 29, 7, 30, tzinfo=ZoneInfo("Europe/Rome"))
    assert re_entry_ends(ended, 8).isoformat() == "2026-03-29T07:30:00+02:00"


def test_days_to_pick_are_calendar_days_over_a_change_of_clocks_and_midnight() -> None:
    assert first_picking_day(date(2026, 3, 28), 1) == date(2026, 3, 29)
    assert first_picking_day(date(2028, 2, 28), 2) == date(2028, 3, 1)


def test_an_interval_that_was_not_typed_is_no_permission(phone: PhoneStore, tree: str) -> None:
    sprayed(phone, tree, FromLabel("Silent"), FromLabel("Given", pre_harvest_days=1), when="2026-09-01")
    sentence, known = label_warnings(phone, tree, today(phone))
    assert sentence.startswith("Silent, sprayed on Tuesday 1 September: no pre-harvest interval was typed")
    assert known.startswith("As known on this phone")


def test_not_given_on_the_label_sends_back_to_the_label(phone: PhoneStore, tree: str) -> None:
    sprayed(phone, tree, FromLabel("Odd", pre_harvest_days=NOT_GIVEN), when="2026-09-01")
    assert "see the label before picking" in label_warnings(phone, tree, today(phone))[0]


def test_a_spray_between_two_days_counts_from_the_later_one(phone: PhoneStore, tree: str) -> None:
    sprayed(phone, tree, FromLabel("One", pre_harvest_days=5), when="2026-09-05/2026-09-10")
    assert "first day to pick is Tuesday 15 September" in label_warnings(phone, tree, today(phone))[0]


def test_a_spray_of_an_unknown_day_gives_no_first_day(phone: PhoneStore, tree: str) -> None:
    sprayed(phone, tree, FromLabel("One", pre_harvest_days=5), when="unknown")
    assert "cannot be reckoned" in label_warnings(phone, tree, today(phone))[0]


def test_a_spray_after_the_day_does_not_concern_it(phone: PhoneStore, tree: str) -> None:
    sprayed(phone, tree, FromLabel("One", pre_harvest_days=50), when="2026-09-10")
    assert label_warnings(phone, tree, datetime(2026, 9, 9).date()) == ()


def test_a_spray_on_the_other_record_of_one_tree_or_on_its_garden_counts(
    phone: PhoneStore, garden: str, tree: str
) -> None:
    other = add_tree(phone, "7", garden).trees[0]
    sprayed(phone, other, FromLabel("One", pre_harvest_days=20), when="2026-09-10")
    assert label_warnings(phone, tree, today(phone)) == ()
    say_same(phone, tree, other)
    assert "Wednesday 30 September" in label_warnings(phone, tree, today(phone))[0]
    whole = SprayTold("kaolin_film", [FromLabel("Two", pre_harvest_days=3)], garden=garden)
    record_spray(phone, whole)
    assert "Two" in label_warnings(phone, tree, today(phone))[1]


@pytest.mark.parametrize("words", ["safe", "over", "recommend"])
def test_nothing_is_ever_called_safe_or_over(phone: PhoneStore, tree: str, words: str) -> None:
    for asked in (4, UNTIL_DRY, NOT_GIVEN, None):
        sprayed(phone, tree, FromLabel("One", pre_harvest_days=9, re_entry_hours=asked))
    sprayed(phone, tree, FromLabel("One", re_entry_hours=4), when="2026-09-12")
    said = [*label_warnings(phone, tree, today(phone)), *[one.sentence for one in keep_outs(phone)]]
    assert said and not any(words in sentence.casefold().split() for sentence in said)

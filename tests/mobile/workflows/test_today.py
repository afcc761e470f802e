"""Today: what to go on with, what is due and why."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound, BaggingVisit
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.first_start import name_garden
from mobile.workflows.job import record_job
from mobile.workflows.people import add_person
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.tally import Amount
from mobile.workflows.today import DueKind, go_on, today_view
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.trees import add_row
from shared_models.errors import BadInputError
from shared_models.seasons import Hemisphere
from tests.mobile.phones import SetClock
from tests.mobile.workflows.exchanges import hears


def due(phone: PhoneStore, kind: DueKind) -> list[str]:
    """What is due of one kind."""
    return [one.sentence for one in today_view(phone).due if one.kind is kind]


def count(phone: PhoneStore, trap: str, moths: int) -> None:
    """A finished trap visit."""
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(moths)
    at_trap.done()


def test_the_day_is_named(phone: PhoneStore) -> None:
    assert today_view(phone).day == "Saturday 12 September"


def test_unfinished_visits_of_this_phone_are_gone_on_with(
    phone: PhoneStore, neighbour: PhoneStore, row: tuple[str, ...], trap: str
) -> None:
    hears(neighbour, phone)
    BaggingRound(phone).open(row[3]).number(Amount.exactly(23))
    BaggingRound(neighbour).open(row[4]).ten()
    hears(phone, neighbour)
    count(phone, trap, 2)
    (unfinished,) = today_view(phone).go_on
    assert unfinished.sentence == "Go on: Bagging, tree 4: 23 bags"
    again = go_on(phone, unfinished.visit)
    assert isinstance(again, BaggingVisit) and again.ten().on_visit == 33
    again.done()
    assert today_view(phone).go_on == ()


def test_a_helper_s_visit_goes_on_as_the_helper_s(phone: PhoneStore, row: tuple[str, ...]) -> None:
    bo = add_person(phone, "Bo")
    BaggingRound(phone).open(row[3], done_by=bo).ten()
    (unfinished,) = today_view(phone).go_on
    again = go_on(phone, unfinished.visit)
    assert isinstance(again, BaggingVisit) and again.ten().on_visit == 20


def test_traps_are_due_twice_a_week(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    assert due(phone, DueKind.TRAP) == ["Trap 1: not counted yet."]
    count(phone, trap, 0)
    clock.move(days=2)
    assert due(phone, DueKind.TRAP) == []
    clock.move(days=3)
    assert due(phone, DueKind.TRAP) == ["Trap 1: count, last 5 days ago."]


def test_a_lure_is_due_after_six_weeks_and_a_liner_after_30_moths(
    phone: PhoneStore, trap: str, clock: SetClock
) -> None:
    assert due(phone, DueKind.LURE) == ["Trap 1: the lure is 19 weeks old."]  # hung on 1 May
    at_trap = TrapRound(phone).open(trap)
    at_trap.number(31)
    at_trap.new_lure("ordinary", 1)
    at_trap.done()
    assert due(phone, DueKind.LURE) == []
    assert due(phone, DueKind.LINER) == ["Trap 1: change the liner, 31 moths since the last new one."]
    clock.move(days=42)
    assert due(phone, DueKind.LURE) == ["Trap 1: the lure is 6 weeks old."]


def test_drops_rounds_are_due_weekly_from_june_drop_on(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    clock.time = datetime(2026, 6, 30, 10, 0, tzinfo=ZoneInfo("Europe/Rome"))
    assert due(phone, DueKind.DROPS) == []
    clock.move(days=1)
    assert due(phone, DueKind.DROPS) == ["Lower garden: no drops round since June drop yet."]
    DropsVisit(phone, row[0]).none()
    clock.move(days=6)
    assert due(phone, DueKind.DROPS) == []
    clock.move(days=1)
    assert due(phone, DueKind.DROPS) == ["Lower garden: drops round, last 7 days ago."]


def test_in_the_south_june_drop_ends_at_new_year(phone: PhoneStore, clock: SetClock) -> None:
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    add_row(phone, south, 1)
    assert due(phone, DueKind.DROPS) == []
    clock.time = datetime(2027, 1, 2, 10, 0, tzinfo=ZoneInfo("Europe/Rome"))
    assert due(phone, DueKind.DROPS) == ["Far garden: no drops round since June drop yet."]
    record_job(phone, "drops_round", garden=south)
    assert due(phone, DueKind.DROPS) == []


def test_who_keeps_out_where_stands_on_the_first_place(phone: PhoneStore, row: tuple[str, ...]) -> None:
    record_spray(phone, SprayTold("kaolin_film", [FromLabel("Film", re_entry_hours=4)], trees=row[:2]))
    (keep_out,) = today_view(phone).keep_out
    assert keep_out.sentence.startswith("Trees 1, 2: keep out until 14:00 Saturday")


def test_a_visit_that_is_not_here_any_more_is_not_opened_again(phone: PhoneStore, trap: str) -> None:
    with pytest.raises(BadInputError, match="not on this phone any more"):
        TrapRound(phone).open_again(trap)

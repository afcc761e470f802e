"""When, of one garden on one page: the sentences of the text and no others, events by where they stand, labels of sprays."""

from datetime import date

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.day_temperatures import note_day
from mobile.workflows.garden_page import About, GardenPage, PageLine, garden_page
from mobile.workflows.moments import Told
from mobile.workflows.spray import FromLabel, SprayTold, record_spray
from mobile.workflows.stages import note_stage
from mobile.workflows.timing import timing_text
from mobile.workflows.trees import add_row
from shared_models.errors import BadInputError
from shared_models.language import together
from shared_models.timing_words import Standing
from shared_models.vocabulary import Species
from tests.mobile.phones import SetClock
from tests.mobile.workflows.weather import at, with_flight, with_weather

MAY = date(2026, 5, 25)


def lines(page: GardenPage, about: About) -> list[PageLine]:
    return [line for section in page.sections if section.about is about for line in section.lines]


def test_a_page_tells_every_sentence_of_the_text_and_only_those(
    phone: PhoneStore, garden: str, trap: str, clock: SetClock
) -> None:
    with_weather(phone)
    at(clock, MAY)
    note_stage(phone, "65", garden=garden, cultivar="Early Red")
    page = garden_page(phone, garden)
    assert page.coming.startswith(together("Next: first egg hatch (236 °C-days, 425 °F-days)"))
    assert [section.heading for section in page.sections] == [
        "Flight",
        "Counted from 2026-01-01, without traps",
        "Temperatures",
        "Bloom",
    ]
    told = {part for one in page.sections for line in one.lines for part in (line.sentence, line.sources)}
    headings = {section.heading for section in page.sections}
    text = {line.strip() for line in timing_text(phone, "2026").splitlines()[3:]} - {"Lower garden"}
    assert told - {""} == text - headings - {""}


def test_the_clock_from_biofix_comes_before_the_one_without_traps(
    phone: PhoneStore, garden: str, trap: str, clock: SetClock
) -> None:
    with_weather(phone)
    with_flight(phone, trap, clock)
    at(clock, MAY)
    headings = [one.heading for one in garden_page(phone, garden).sections]
    assert headings[1:3] == ["Counted from biofix", "Counted from 2026-01-01, without traps"]


def test_an_event_says_where_it_stands_and_whether_it_is_only_remembered(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    with_weather(phone)
    at(clock, MAY)
    events = [line for line in lines(garden_page(phone, garden), About.CLOCK) if line.stands]
    for line in events:
        assert (line.stands is Standing.REACHED) == (": reached" in line.sentence)
        assert (line.stands is Standing.NOW) == (": about now" in line.sentence)
        assert (line.stands is Standing.AHEAD) == (": expected" in line.sentence)
        assert line.unchecked == ("(unchecked, " in line.sentence)
    assert {line.stands for line in events} >= {Standing.REACHED, Standing.AHEAD}


def test_a_missing_day_is_named(phone: PhoneStore, garden: str, clock: SetClock) -> None:
    with_weather(phone, without=("2026-05-03", "2026-05-04"))
    at(clock, MAY)
    heat = lines(garden_page(phone, garden), About.CLOCK)[0]
    assert "Incomplete: 2 days are missing (2026-05-03 to 2026-05-04)" in heat.sentence


def test_a_night_is_told_beside_what_kills_at_the_stage_that_was_noted(
    phone: PhoneStore, garden: str, clock: SetClock
) -> None:
    at(clock, date(2026, 4, 20))
    apple = add_row(phone, garden, 1, species=Species.APPLE).trees[0]
    note_stage(phone, "65", tree=apple)
    at(clock, date(2026, 4, 22))
    note_day(phone, garden, date(2026, 4, 21), -3.5, 9, "C")
    told = [line.sentence for line in lines(garden_page(phone, garden), About.COLD)]
    assert told and all(together("2026-04-21: -3.5 °C") in one and "kills a tenth" in one for one in told)


def test_sprays_of_the_garden_say_their_waits_as_known_and_those_of_another_do_not(
    phone: PhoneStore, garden: str, row: tuple[str, ...], clock: SetClock
) -> None:
    at(clock, MAY)
    label = FromLabel("One", pre_harvest_days=7, re_entry_hours=4)
    record_spray(
        phone,
        SprayTold("other_insecticide", (label,), trees=[row[0]], told=Told("2026-05-25T19:00:00+02:00")),
    )
    out, picking, known = (line.sentence for line in lines(garden_page(phone, garden), About.SPRAYS))
    assert out.startswith("Trees 1: keep out until 23:00 Monday")
    assert picking.startswith("Trees 1: One, sprayed on Monday 25 May: pre-harvest interval 7 days")
    assert "the first day to pick is Monday 1 June" in picking and "20:00 Monday" in known
    at(clock, date(2026, 6, 1))
    assert lines(garden_page(phone, garden), About.SPRAYS) == []


def test_a_page_of_no_garden_is_refused(phone: PhoneStore, trap: str) -> None:
    with pytest.raises(BadInputError, match="not on this phone"):
        garden_page(phone, trap)

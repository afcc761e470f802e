"""The entry log in SQL: what goes in comes out verbatim, in the order of its numbers, and never from another group."""

import pytest
from hypothesis import given, settings
from sqlalchemy import create_engine
from sqlalchemy.exc import IntegrityError

from shared_models.entries import seal
from shared_models.store import entry_log
from shared_models.store.tables import SHARED_TABLES, TOUCHED
from tests.builders import FieldPhone
from tests.strategies import entries, law

OURS, THEIRS = "ours", "theirs"


@pytest.fixture
def phone():
    """A phone."""
    return FieldPhone()


def test_bodies_come_back_verbatim(connection, phone):
    sealed = seal(phone.garden("Hügel \U0001f34e “x” \\ \t"))
    entry_log.append(connection, OURS, [sealed])
    [logged] = entry_log.known(connection, OURS, [sealed.entry.id]).values()
    assert (logged.body, logged.hash, logged.seq) == (sealed.body, sealed.hash, None)
    assert list(entry_log.of_records(connection, OURS, [sealed.entry.rec])) == [sealed.entry]


@settings(law, max_examples=50)
@given(entries())
def test_any_entry_comes_back_as_it_went_in(entry):
    engine = create_engine("sqlite://")
    with engine.begin() as memory:
        for table in SHARED_TABLES:
            table.create(memory)
        entry_log.append(memory, OURS, [seal(entry)])
        assert list(entry_log.of_records(memory, OURS, [entry.rec])) == [entry]
    engine.dispose()


def test_pages_follow_the_numbers_without_a_hole(connection, phone):
    sealed = [seal(phone.garden(str(n))) for n in range(25)]
    entry_log.append(connection, OURS, sealed, list(range(1, 26)))
    pages, since = [], 0
    while page := entry_log.page(connection, OURS, since, 10):
        pages.append(len(page))
        assert [entry.seq for entry in page] == list(range(since + 1, since + len(page) + 1))
        since = page[-1].seq or 0
    assert pages == [10, 10, 5]
    assert entry_log.page(connection, OURS, 99, 10) == []


def test_entries_without_a_number_are_in_no_page_until_they_get_one(connection, phone):
    sealed = seal(phone.garden())
    entry_log.append(connection, OURS, [sealed])
    assert entry_log.page(connection, OURS, 0, 10) == []
    entry_log.set_number(connection, OURS, {sealed.entry.id: 1})
    assert [entry.id for entry in entry_log.page(connection, OURS, 0, 10)] == [sealed.entry.id]


def test_groups_do_not_see_each_other(connection, phone):
    sealed = seal(phone.garden())
    for group in (OURS, THEIRS):
        entry_log.append(connection, group, [sealed], [1])
    entry_log.set_aside(connection, THEIRS, sealed.entry.id, sealed.entry.rec, True)
    assert len(list(entry_log.of_records(connection, OURS, [sealed.entry.rec]))) == 1
    assert entry_log.size(connection, OURS) == 1
    assert entry_log.known(connection, "nobody", [sealed.entry.id]) == {}
    assert entry_log.every_record(connection, "nobody") == []


def test_one_number_is_given_once_in_a_group(engine, phone):
    first, second = seal(phone.garden()), seal(phone.garden())
    with pytest.raises(IntegrityError), engine.begin() as connection:
        entry_log.append(connection, OURS, [first, second], [1, 1])
    with engine.begin() as connection:
        assert entry_log.size(connection, OURS) == 0


def test_an_id_is_kept_once_in_a_group(engine, phone):
    sealed = seal(phone.garden())
    with engine.begin() as connection:
        entry_log.append(connection, OURS, [sealed], [1])
    with pytest.raises(IntegrityError), engine.begin() as connection:
        entry_log.append(connection, OURS, [sealed], [2])


def test_appending_touches_each_record_once(connection, phone):
    garden = phone.garden()
    edits = [phone.edits(garden, name=str(n)) for n in range(3)]
    entry_log.append(connection, OURS, [seal(entry) for entry in [garden, *edits]])
    entry_log.touch(connection, OURS, [garden.rec])
    assert [tuple(row) for row in connection.execute(TOUCHED.select())] == [(OURS, garden.rec)]


def test_what_is_set_aside_stays_in_the_log_and_out_of_the_fold(connection, phone):
    garden = phone.garden()
    edit = phone.edits(garden, name="Dale")
    entry_log.append(connection, OURS, [seal(garden), seal(edit)])
    entry_log.set_aside(connection, OURS, edit.id, edit.rec, True)
    assert list(entry_log.of_records(connection, OURS, [garden.rec])) == [garden]
    assert entry_log.size(connection, OURS) == 2
    entry_log.set_aside(connection, OURS, edit.id, edit.rec, False)
    assert len(list(entry_log.of_records(connection, OURS, [garden.rec]))) == 2


def test_more_ids_than_one_statement_takes_are_found(connection, phone):
    sealed = [seal(phone.garden(str(n))) for n in range(1203)]
    entry_log.append(connection, OURS, sealed)
    ids = [one.entry.id for one in sealed]
    assert set(entry_log.known(connection, OURS, ids)) == set(ids)
    assert len(list(entry_log.of_records(connection, OURS, ids))) == 1203
    assert entry_log.every_record(connection, OURS) == sorted(ids)


def test_appending_nothing_is_nothing(connection):
    entry_log.append(connection, OURS, [])
    assert entry_log.size(connection, OURS) == 0

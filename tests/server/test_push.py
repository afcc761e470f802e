"""A push: every entry gets an answer of its own, and a bad one holds nothing up."""

from __future__ import annotations

import json

import pytest

from server.database import members
from shared_models.digest import NOTHING
from shared_models.entries import canonical_text
from shared_models.vocabulary import Role
from tests.builders import FieldPhone
from tests.server.bad_entries import bad_entries


@pytest.fixture
def phone() -> FieldPhone:
    return FieldPhone()


@pytest.fixture
def visit(phone):
    return phone.visit(phone.tree(phone.garden()))


def states(answers):
    return [answer["state"] for answer in answers]


def test_every_kind_of_bad_entry_is_held_back_and_the_good_ones_beside_it_are_stored(
    either_server, phone, visit
):
    group = either_server.group()
    keeper = either_server.caller(group)
    first, last = phone.mark(visit, "clean"), phone.mark(visit, "sting")
    bad = bad_entries(phone, visit)
    answers = keeper.push_texts([canonical_text(first), *(one.text for one in bad), canonical_text(last)])

    assert states(answers) == ["shared", *["held_back"] * len(bad), "shared"]
    assert keeper.pulled_ids() == [first.id, last.id]
    assert [answers[0]["seq"], answers[-1]["seq"]] == [1, 2]
    for one, answer in zip(bad, answers[1:-1], strict=True):
        named = answer["field"] if "." in one.field else answer["field"].split(".")[0]
        assert (one.name, named) == (one.name, one.field)
        assert (one.name, "id" in answer) == (one.name, one.has_id)
        assert answer["detail"].endswith(".") and answer["code"]
    assert sorted(one.raw.decode() for one in either_server.held_back(group)) == sorted(
        one.text for one in bad
    )


def test_a_bad_entry_alone_gets_the_same_answer_as_among_others_and_is_kept_once(
    server, hill, keeper, phone, visit
):
    for one in bad_entries(phone, visit):
        first, again = keeper.push_texts([one.text]), keeper.push_texts([one.text])
        assert (one.name, states(first)) == (one.name, ["held_back"])
        assert first == again
    assert len(server.held_back(hill)) == len(bad_entries(phone, visit))
    assert keeper.pulled_ids() == []


def test_a_retried_push_gets_the_same_answers_and_changes_nothing(either_server, phone, visit):
    keeper = either_server.caller(either_server.group())
    texts = [canonical_text(phone.mark(visit, "clean")) for _ in range(40)]
    texts[7] = texts[7].replace('"clean"', '"eaten"')
    first, again = keeper.push_texts(texts), keeper.push_texts(texts)
    assert first == again
    assert len(keeper.pulled_ids()) == 39


def test_an_id_that_is_taken_by_another_entry_is_held_back_and_the_first_one_stays(
    server, hill, keeper, phone, visit
):
    mark = phone.mark(visit, "clean")
    keeper.push([mark])
    other = canonical_text(mark).replace('"clean"', '"sting"')
    (answer,) = keeper.push_texts([other])
    assert (answer["state"], answer["field"], answer["id"]) == ("held_back", "id", mark.id)
    assert keeper.pull()["items"][0]["entry"]["f"]["marks"] == ["clean"]
    assert [one.raw.decode() for one in server.held_back(hill)] == [other]


def test_one_id_twice_in_one_push_is_stored_once(keeper, phone, visit):
    mark = phone.mark(visit, "clean")
    text = canonical_text(mark)
    answers = keeper.push_texts([text, text, text.replace('"clean"', '"sting"'), canonical_text(visit)])
    assert states(answers) == ["shared", "shared", "held_back", "shared"]
    assert [answer.get("seq") for answer in answers] == [1, 1, None, 2]
    assert keeper.pulled_ids() == [mark.id, visit.id]


def test_a_kind_or_version_that_the_server_does_not_know_is_for_later_and_not_stored(
    server, hill, keeper, phone, visit
):
    mark = canonical_text(phone.mark(visit, "clean"))
    answers = keeper.push_texts(
        [
            mark.replace('"kind":"mark"', '"kind":"hive"'),
            canonical_text(visit),
            mark.replace('"v":1}', '"v":99}'),
        ]
    )
    assert states(answers) == ["later", "shared", "later"]
    assert keeper.pulled_ids() == [visit.id]
    assert server.held_back(hill) == []


def test_an_entry_that_was_for_later_is_taken_once_it_can_be_read(keeper, phone, visit):
    mark = phone.mark(visit, "clean")
    newer = canonical_text(mark).replace('"v":1}', '"v":99}')
    assert states(keeper.push_texts([newer])) == ["later"]
    assert states(keeper.push([mark])) == ["shared"]


def test_a_viewer_may_not_record(server, hill, phone, visit):
    viewer = server.caller(hill, Role.VIEWER)
    answers = viewer.push_texts([canonical_text(visit), "7"])
    assert states(answers) == ["refused", "refused"]
    assert answers[0]["id"] == visit.id and "id" not in answers[1]
    assert viewer.pulled_ids() == [] and server.held_back(hill) == []


def test_while_a_group_recovers_a_viewer_may_bring_back_what_others_recorded(server, hill, phone, visit):
    keeper, viewer = server.caller(hill), server.caller(hill, Role.VIEWER)
    own = phone.mark(visit, "sting")
    keeper.push([visit])
    with server.services.database.writing() as connection:
        own_device = next(one for one in members.devices(connection, hill.id) if one.role is Role.VIEWER)
        connection.exec_driver_sql("UPDATE group_counter SET recovering = 1")
    own = own.model_copy(update={"device": own_device.device})
    mark = phone.mark(visit, "clean")
    bad = canonical_text(phone.mark(visit, "clean")).replace('["clean"]', '["mauve"]')
    answers = viewer.push_texts([canonical_text(mark), canonical_text(own), bad, "7"])
    assert states(answers) == ["shared", "refused", "refused", "refused"]
    assert keeper.pulled_ids() == [visit.id, mark.id]


def test_an_entry_that_is_laid_out_otherwise_is_stored_as_its_one_canonical_text(keeper, phone, visit):
    spread = json.dumps(json.loads(canonical_text(visit)), indent=2)
    answer = keeper.post("/entries", content=f' {{ "note" : {{"a":[1]}} , "entries" : [ {spread} ] }} ')
    assert states(answer.json()["results"]) == ["shared"]
    assert states(keeper.push([visit])) == ["shared"], "its hash is the same"
    text = keeper.get("/entries").text
    assert canonical_text(visit) in text


def test_what_comes_back_is_byte_for_byte_what_was_sent(keeper, phone):
    text = 'Zoë „\u2028\t\r\n\\"🍎“ /Ångström\u00ad'
    strange = phone.makes(
        "note", {"text": text, "when": "2026-08-20", "more": [0.1, 1e-4, 123456789012345.6, -7]}
    )
    keeper.push([strange])
    assert f'{{"seq":1,"entry":{canonical_text(strange)}}}' in keeper.get("/entries").text


def test_an_empty_push_is_answered_and_stores_nothing(keeper):
    assert keeper.push_texts([]) == []
    assert keeper.pull() | {"server_time": ""} == {
        "epoch": keeper.epoch(),
        "digest": NOTHING,
        "server_time": "",
        "since": 0,
        "to": 0,
        "max": 0,
        "items": [],
    }


def test_only_the_first_64_kib_of_what_is_held_back_are_kept(server, hill, keeper, phone, visit):
    long = canonical_text(visit).replace('"f":{', '"f":{"note":"' + "x" * 100_000 + '",')
    (answer,) = keeper.push_texts([long])
    assert answer["state"] == "held_back"
    (kept,) = server.held_back(hill)
    assert kept.raw == long.encode()[: 64 * 1024]


def test_what_came_together_is_noted_once_without_a_gap_and_nothing_for_what_was_there(
    either_server, phone, visit
):
    group = either_server.group()
    keeper = either_server.caller(group)
    marks = [phone.mark(visit, "clean") for _ in range(5)]
    keeper.push(marks[:2])
    keeper.push(marks[:2])
    keeper.push(marks[1:])
    assert either_server.receipts(group) == [(1, 2), (3, 5)]


def test_a_push_that_is_all_new_is_answered_as_one_by_one(either_server, phone, visit):
    group = either_server.group()
    keeper = either_server.caller(group)
    marks = [phone.mark(visit, "clean") for _ in range(3)]
    together = keeper.push(marks)
    assert [keeper.push([mark])[0]["seq"] for mark in marks] == [1, 2, 3]
    assert together == keeper.push(marks)

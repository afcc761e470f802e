"""A group sees only itself: canaries of another group never come out, and its ids are simply unknown."""

from __future__ import annotations

import pytest

from shared_models.entries import canonical_text
from shared_models.vocabulary import Role
from tests.builders import FieldPhone
from tests.server.running import Caller

CANARY = "canary-of-the-valley"


@pytest.fixture
def valley(either_server):
    """Another group on the same server, with canaries in everything it can hold."""
    group = either_server.group(f"Valley {CANARY}")
    caller, phone = either_server.caller(group), FieldPhone()
    garden = phone.garden(CANARY)
    tree = phone.tree(garden, CANARY)
    visit = phone.visit(tree)
    trap = phone.trap(garden, CANARY)
    entries = [garden, tree, visit, phone.mark(visit, "sting"), trap, phone.trap_visit(trap, 3)]
    entries.append(phone.pick(tree, total=CANARY.count("a")))
    entries += [phone.edits(tree, None, label=CANARY + end) for end in "ab"]
    caller.push(entries)
    caller.push_texts([canonical_text(phone.garden(CANARY)).replace('"north"', '"west"')])
    return group, caller, entries


@pytest.fixture
def outsider(either_server):
    """A coordinator of a group that has nothing to do with the valley."""
    return either_server.caller(either_server.group(), Role.COORDINATOR)


def everything(caller: Caller) -> str:
    """Every byte, headers too, that the API answers to anything that this caller may ask."""
    paths = [
        "/hello",
        "/entries",
        "/entries?since=1",
        "/entries?since=99",
        "/season",
        "/season/2026",
        "/season/2025-26",
        "/season/2026?damage=deep&fruit=picked",
        "/season/2026/trees.csv",
        "/season/2026/traps.csv",
        "/years",
        "/years?half=north",
        "/timing/2026",
        "/timing/2025-26",
        "/looks",
    ]
    answers = [caller.get(path) for path in paths]
    answers += [caller.get("/season/" + CANARY[:6]), caller.post("/connect", json={}), caller.get("/devices")]
    return "".join(f"{answer.headers} {answer.text}" for answer in answers)


def test_the_routes_asked_here_are_all_routes_that_there_are(server):
    paths = server.stranger().get("/openapi.json").json()["paths"]
    of_season = ("/season", "/season/{key}", "/season/{key}/{table}.csv", "/years", "/timing/{season}")
    known = ("/hello", "/connect", "/entries", "/looks", *of_season)
    assert set(paths) == {f"/api/v1{path}" for path in known}


def test_no_byte_of_another_group_comes_out(valley, outsider):
    group, caller, entries = valley
    assert CANARY in everything(caller), "the canaries are where they can be seen"
    told = everything(outsider)
    assert CANARY not in told and group.id not in told
    assert not [entry.id for entry in entries if entry.id in told]


def test_an_id_of_another_group_is_an_unknown_id(either_server, valley, outsider):
    _, caller, entries = valley
    before = caller.get("/entries").json()["items"]
    phone = FieldPhone()
    taken = phone.garden("mine").model_copy(update={"id": entries[0].id, "rec": entries[0].id})
    (answer,) = outsider.push([taken])
    assert (answer["state"], answer["seq"]) == ("shared", 1), "stored in the sender's own group"
    assert outsider.pull()["items"][0]["entry"]["f"]["name"] == "mine"
    assert caller.get("/entries").json()["items"] == before


def test_an_edit_of_another_groups_tree_changes_nothing_there(valley, outsider):
    _, caller, entries = valley
    phone, tree = FieldPhone(), entries[1]
    phone.clock.receive(tree.stamp)
    before = caller.get("/season/2026").json()
    answers = outsider.push(
        [phone.edits(tree, label="taken"), phone.undoes(tree), phone.mark(entries[2], "clean")]
    )
    assert [answer["state"] for answer in answers] == ["shared"] * 3
    assert caller.get("/season/2026").json() == before
    assert CANARY not in outsider.get("/season/2026").text


def test_a_group_named_in_a_body_or_address_counts_for_nothing(valley, outsider):
    group, caller, _ = valley
    garden = FieldPhone().garden()
    body = f'{{"group":"{group.id}","group_id":"{group.id}","entries":[{canonical_text(garden)}]}}'
    answer = outsider.post(f"/entries?group={group.id}", content=body, headers={"X-Group": group.id})
    assert answer.status_code == 200
    assert garden.id in outsider.pulled_ids() and garden.id not in caller.pulled_ids()


def test_a_season_key_of_another_group_is_not_told(valley, outsider):
    assert outsider.get("/season").json() == {"seasons": []}

"""What the people of a group have to decide, over HTTP and as a command: the same for every role, and nobody else's."""

from __future__ import annotations

import json

import pytest

from shared_models.fold import fold
from shared_models.look_words import ToldLooks
from shared_models.vocabulary import Role
from tests.builders import FieldPhone
from tests.server.test_cli import pomeward as pomeward
from tests.server.test_pages import Browser, is_a_safe_page


def apart(caller) -> None:
    """A tree with two labels, and a trap counted by two."""
    ada, ben = FieldPhone(), FieldPhone()
    people = [
        phone.person(name).model_copy(update={"id": phone.person_id, "rec": phone.person_id})
        for phone, name in ((ada, "Ada"), (ben, "Ben"))
    ]
    garden = ada.garden()
    tree, trap = ada.tree(garden, "7"), ada.trap(garden, "T1")
    before = ada.trap_visit(trap, 2)
    ben.receives(before)
    edits = [ada.edits(tree, fold([tree]), label="7a"), ben.edits(tree, fold([tree]), label="7b")]
    counts = [phone.trap_visit(trap, 4, previous=before.rec) for phone in (ada, ben)]
    caller.push([*people, garden, tree, trap, before, *edits, *counts])


@pytest.mark.parametrize("role", Role)
def test_every_member_may_see_it(either_server, role: Role):
    group = either_server.group()
    apart(either_server.caller(group))
    answer = either_server.caller(group, role).get("/looks")
    told = ToldLooks.model_validate_json(answer.text)
    (edit,), (count,) = told.edits, told.counts
    assert edit.what in ("Tree 7a: label", "Tree 7b: label")
    assert {(value.words, value.who) for value in edit.values} == {("7a", "Ada"), ("7b", "Ben")}
    assert edit.values[0].when.startswith("2026-08-20 08:00")
    assert count.what == "Trap T1 was counted twice" and count.first.words == "4 new moths"
    assert answer.headers["cache-control"] == "no-store"


def test_without_a_token_and_in_another_group_nothing_is_told(server, keeper):
    apart(keeper)
    assert server.stranger().get("/looks").status_code == 401
    assert server.caller(server.group("Elsewhere")).get("/looks").json() == {"edits": [], "counts": []}


def test_the_season_page_tells_it_also_where_the_season_is_empty(server, hill, keeper):
    apart(keeper)
    browser = Browser(server)
    browser.send(server.code(hill))
    for season in ("2026", "2031"):
        answer = browser.open(f"/season/{season}")
        assert is_a_safe_page(answer) and "To be looked at together" in answer.text
        assert "Trap T1 was counted twice" in answer.text


def test_it_is_printed_as_text_and_json(pomeward, hill, keeper):
    assert pomeward("looks", hill.name) == (0, "Nothing is to be decided.\n", "")
    apart(keeper)
    _, text, _ = pomeward("looks", hill.name)
    assert ": label, set without knowing of each other\n  7" in text and "(this holds now)" in text
    assert "Trap T1 was counted twice\n  4 new moths: " in text
    assert text.endswith("It is decided on a phone, in Sharing.\n")
    _, written, _ = pomeward("looks", hill.name, "--json")
    assert json.loads(written) == keeper.get("/looks").json()

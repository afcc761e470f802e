"""A pull: numbered pages without a hole, bodies as they were sent."""

from __future__ import annotations

import gzip

import pytest

from shared_models.digest import NOTHING, added
from shared_models.entries import canonical_text, seal
from shared_models.protocol import PullReply
from tests.builders import FieldPhone
from tests.server.running import body_of


@pytest.fixture
def marks():
    phone = FieldPhone()
    visit = phone.visit(phone.tree(phone.garden()))
    return [phone.mark(visit, "clean") for _ in range(30)]


def test_pages_follow_each_other_without_a_hole(keeper, marks):
    keeper.push(marks)
    first, second, last = keeper.pull(0, 12), keeper.pull(12, 12), keeper.pull(24, 12)
    assert [(page["since"], page["to"], page["max"]) for page in (first, second, last)] == [
        (0, 12, 30),
        (12, 24, 30),
        (24, 30, 30),
    ]
    items = [*first["items"], *second["items"], *last["items"]]
    assert [item["seq"] for item in items] == list(range(1, 31))
    assert [item["entry"]["id"] for item in items] == [mark.id for mark in marks]


def test_at_the_end_there_is_an_empty_page(keeper, marks):
    keeper.push(marks)
    assert keeper.pull(30)["items"] == []
    assert (keeper.pull(30)["to"], keeper.pull(30)["max"]) == (30, 30)


def test_who_knows_another_epoch_must_start_over_and_is_told_the_new_one(keeper, marks):
    keeper.push(marks[:5])
    known = keeper.epoch()
    for asked in ({"epoch": "another", "since": 0}, {"epoch": "another", "since": 3}, {"since": 3}):
        answer = keeper.http.get("/api/v1/entries", params=asked)
        assert answer.status_code == 409 and answer.json()["epoch"] == known
    assert keeper.http.get("/api/v1/entries").json()["epoch"] == known


def test_what_is_pushed_under_another_epoch_is_not_stored(keeper, marks):
    for asked in ({"epoch": "another"}, {}):
        answer = keeper.http.post(
            "/api/v1/entries", params=asked, content=body_of([canonical_text(marks[0])])
        )
        assert answer.status_code == 409 and answer.json()["type"] == "/problems/cursor-reset"
    assert keeper.pulled_ids() == []


def test_the_digest_is_that_of_all_entries_however_they_came(keeper, marks):
    keeper.push(marks[:7])
    keeper.push(marks[3:])
    hashes = [seal(one).hash for one in marks]
    assert keeper.pull(0, 1)["digest"] == added(NOTHING, reversed(hashes))


def test_who_has_seen_more_than_there_is_must_start_over(keeper, marks):
    keeper.push(marks)
    answer = keeper.get("/entries", params={"since": 31})
    assert answer.status_code == 409
    assert answer.json()["type"] == "/problems/cursor-reset"


@pytest.mark.parametrize("query", ["since=-1", "limit=0", "limit=2001", "since=x", "limit=", "since=1e3"])
def test_a_cursor_or_limit_that_is_none_is_refused(keeper, query: str):
    answer = keeper.http.get(f"/api/v1/entries?{query}")
    assert answer.status_code == 400
    assert answer.json()["field"]


def test_every_phone_of_the_group_gets_the_same_bytes_packed_or_not(server, hill, keeper, marks):
    keeper.push(marks)
    other = server.caller(hill)
    plain = other.get("/entries", headers={"Accept-Encoding": "identity"})
    assert "content-encoding" not in plain.headers
    with other.http.stream("GET", "/api/v1/entries", headers={"Accept-Encoding": "gzip"}) as packed:
        assert packed.headers["content-encoding"] == "gzip"
        unpacked = gzip.decompress(b"".join(packed.iter_raw())).decode()
    for mark in marks:
        assert canonical_text(mark) in plain.text and canonical_text(mark) in unpacked
    assert PullReply.model_validate_json(plain.content).items == PullReply.model_validate_json(unpacked).items


def test_hello_needs_no_token_and_tells_the_limits(server):
    hello = server.stranger().get("/hello").json()
    assert (hello["service"], hello["version"]) == ("pomeward", 1)
    assert (hello["max_push_entries"], hello["max_push_bytes"]) == (500, 512 * 1024)
    assert hello["server_time"].endswith("Z")

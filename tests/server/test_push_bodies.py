"""Bodies that are no push: refused as a whole, with nothing stored."""

from __future__ import annotations

import gzip

import pytest

from shared_models.entries import canonical_text
from tests.builders import FieldPhone
from tests.server.running import body_of

PROBLEM = "application/problem+json"


@pytest.fixture
def good() -> list[str]:
    phone = FieldPhone()
    visit = phone.visit(phone.tree(phone.garden()))
    return [canonical_text(phone.mark(visit, "clean")) for _ in range(501)]


def refused(answer, status: int) -> None:
    """The answer is a problem in RFC 9457's form."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == PROBLEM
    problem = answer.json()
    assert problem["status"] == status and problem["type"].startswith("/problems/")
    assert problem["title"].endswith(".") and problem["detail"].endswith(".")


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"entries":{}}',
        b'{"entries":null}',
        b'{"records":[]}',
        b'{"entries":[{"id":]}',
        b'{"entries":[1,2',
        b'{"entries":[]} and more',
        b'{"entries":["\xff"]}',
        b'{"entries":["\\ud800"]}',
        b'{"entries":[' + b"[" * 5000 + b"]" * 5000 + b"]}",
        b"\x00\x01\x02",
        "{“entries”:[]}".encode(),
        b'{"entries":[],"entries":[]}',
    ],
)
def test_a_body_that_is_no_push_is_refused_and_nothing_is_stored(keeper, body: bytes):
    refused(keeper.post("/entries", content=body), 400)
    assert keeper.pulled_ids() == []


def test_one_broken_letter_behind_good_entries_refuses_them_all(keeper, good):
    refused(keeper.post("/entries", content=body_of(good[:3])[:-2]), 400)
    assert keeper.pulled_ids() == []


def test_500_entries_are_taken_and_501_are_too_many(keeper, good):
    refused(keeper.post("/entries", content=body_of(good)), 413)
    assert keeper.pulled_ids() == []
    assert len(keeper.push_texts(good[:500])) == 500


@pytest.mark.parametrize("size", [1024 * 1024 + 1, 10_000_000, 40_000_000])
def test_more_than_a_mebibyte_is_too_large_however_much_it_is(keeper, size: int):
    refused(keeper.post("/entries", content=b'{"entries":[' + b" " * size + b"]}"), 413)


def test_a_body_without_a_length_is_counted_as_it_comes(keeper):
    refused(keeper.post("/entries", content=(b" " * 65536 for _ in range(40))), 413)


def test_a_small_gzip_that_unpacks_to_much_is_too_large(keeper):
    bomb = gzip.compress(b" " * 200_000_000, compresslevel=9)
    assert len(bomb) < 300_000
    refused(keeper.post("/entries", content=bomb, headers={"Content-Encoding": "gzip"}), 413)


def test_a_packed_push_is_taken(keeper, good):
    packed = gzip.compress(body_of(good[:20]))
    answer = keeper.post("/entries", content=packed, headers={"Content-Encoding": "gzip"})
    assert [one["state"] for one in answer.json()["results"]] == ["shared"] * 20


@pytest.mark.parametrize(
    "damage", [lambda p: p[:-9], lambda p: p + b"more", lambda p: b"no gzip", lambda p: b""]
)
def test_a_damaged_gzip_is_refused(keeper, good, damage):
    packed = damage(gzip.compress(body_of(good[:2])))
    refused(keeper.post("/entries", content=packed, headers={"Content-Encoding": "gzip"}), 400)
    assert keeper.pulled_ids() == []


def test_another_way_of_packing_is_refused_by_name(keeper):
    answer = keeper.post("/entries", content=b"x", headers={"Content-Encoding": "br"})
    refused(answer, 400)
    assert "br" in answer.json()["detail"]


def test_without_a_token_a_body_is_not_even_read(server):
    refused(server.stranger().post("/entries", content=b" " * 2_000_000), 401)

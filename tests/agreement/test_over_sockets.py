"""Real phones, a real server, real sockets, and a line that is cut, slow, silent, full of pages that nobody asked for.

`python -m tests.agreement --sockets` plays as many histories as one likes.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from functools import partial
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.drafts import Draft
from shared_models.errors import NotReachableError
from tests.agreement.fault_proxy import BAD, Fault, Trouble
from tests.mobile.phones import mark

if TYPE_CHECKING:
    from tests.agreement.one_line import OneLine

pytestmark = pytest.mark.needs_server

RUNS = {"SQLite": 9, "PostgreSQL": 4}
EVERY = {"SQLite": 1, "PostgreSQL": 9}  # of so many bytes one is cut at; the first server is cut at each
RANDOM_CUTS = 8
MANY = 300
END_OF_PACKED = (
    12  # bytes at most that say where something packed ends and whether it is whole; all text is before them
)
CUTS = (Trouble.REQUEST_CUT, Trouble.ANSWER_CUT, Trouble.HALF_PACKED)
REQUESTS = (b"GET /api/v1/hello", b"POST ", b"GET /api/v1/entries")
BOTH = ["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.needs_postgres)]


@pytest.fixture(params=BOTH)
def kind(request: pytest.FixtureRequest) -> str:
    """Which database."""
    return str(request.param)


@pytest.fixture
def url(kind: str, request: pytest.FixtureRequest) -> str | None:
    """Its address; None for a SQLite file."""
    return request.getfixturevalue("postgres").new_database() if kind == "PostgreSQL" else None


@pytest.fixture
def line(url: str | None, tmp_path: Path) -> Iterator[OneLine]:
    """A phone and its group's server, with a line between them."""
    from tests.agreement.one_line import OneLine

    with ExitStack() as until_the_end:
        yield OneLine(tmp_path, url, until_the_end)


@pytest.mark.timeout(300)
def test_phones_and_server_agree_whatever_the_line_did(kind: str, url: str | None) -> None:
    from tests.agreement.over_sockets import stage_over_sockets, story_over_sockets

    with stage_over_sockets(url) as stage:
        for seed in range(RUNS[kind]):
            stage.play(story_over_sockets(seed))


# ---------------------------------------------------------------- cut at every byte
def test_a_push_can_be_cut_at_any_byte(line: OneLine, kind: str) -> None:
    mark(line.store, line.visit)
    before = line.on_server()
    line.cut_at_each(Trouble.REQUEST_CUT, line.push, EVERY[kind], lambda: line.waiting() == 1)
    assert line.on_server() == before, "a part of a push was taken"
    line.cut_at_each(Trouble.ANSWER_CUT, line.push, EVERY[kind], lambda: line.waiting() == 1)
    assert line.on_server() == before + 1, "a push was taken twice"
    line.push()
    assert line.waiting() == 0 and line.on_server() == before + 1


def test_a_pull_can_be_cut_at_any_byte(line: OneLine, kind: str) -> None:
    line.others_push(3)
    cursor = line.store.incoming.cursor()
    for trouble in (Trouble.REQUEST_CUT, Trouble.ANSWER_CUT):
        line.cut_at_each(trouble, line.pull, EVERY[kind], lambda: line.store.incoming.cursor() == cursor)
    assert line.tallied() == 0
    line.pull()
    assert line.tallied() == 3 and line.store.incoming.cursor() == cursor + 3


def test_half_of_something_packed_is_no_page(line: OneLine, kind: str) -> None:
    line.others_push(6)
    cursor = line.store.incoming.cursor()
    unchanged = partial(_stands_at, line, cursor)
    body = line.cut_at_each(Trouble.HALF_PACKED, line.pull, EVERY[kind], unchanged, END_OF_PACKED)
    assert body.startswith(b"\x1f\x8b"), "the page was not packed"
    line.pull()
    assert line.tallied() == 6


def test_long_pushes_and_pages_are_cut_anywhere(line: OneLine) -> None:
    chance = random.Random(0)
    at_a_time = MANY // RANDOM_CUTS
    for round_ in range(RANDOM_CUTS):
        line.others_push(at_a_time)
        line.store.record_all([Draft("mark", {"visit": line.visit, "marks": ["clean"]})] * at_a_time)
        for what in (b"POST ", b"GET /api/v1/entries"):
            line.proxy.plan = _once(what, Fault(CUTS[round_ % len(CUTS)], chance.randrange(10**6)))
            with suppress(NotReachableError):
                line.exchange()
    line.heal()
    line.holds_just(2 * RANDOM_CUTS * at_a_time)


# ---------------------------------------------------------------- each trouble by itself
def test_no_trouble_at_any_request_loses_or_doubles_anything(line: OneLine) -> None:
    own = others = 0
    for trouble, reached, what in product(BAD, (False, True), REQUESTS):
        mark(line.store, line.visit)
        line.others_push(1)
        own, others = own + 1, others + 1
        line.proxy.plan = _once(what, Fault(trouble, 240 + own, reached))
        with suppress(NotReachableError):
            line.exchange()
        assert line.tallied() >= own, "what was recorded here counts here"
        while line.proxy.box.late:
            line.proxy.deliver(0)
    assert line.proxy.box.met.keys() == set(Trouble)
    line.heal()
    line.holds_just(own + others)


def test_a_phone_does_not_wait_for_ever_and_says_what_is_kept(line: OneLine) -> None:
    mark(line.store, line.visit)
    for trouble in (Trouble.SILENCE, Trouble.SIGN_IN, Trouble.BAD_GATEWAY):
        line.proxy.plan = partial(_always, Fault(trouble))
        with pytest.raises(NotReachableError, match="kept on this phone"):
            line.exchange()
        assert line.waiting() == 1
    line.heal()
    line.holds_just(1)


def _always(fault: Fault, _: bytes) -> Fault:
    return fault


def _stands_at(line: OneLine, cursor: int) -> bool:
    return line.store.incoming.cursor() == cursor


def _once(what: bytes, fault: Fault) -> Callable[[bytes], Fault]:
    """A plan: the first request that begins so meets the fault, all others pass."""
    left = [fault]
    return lambda request: left.pop() if left and request.startswith(what) else Fault()

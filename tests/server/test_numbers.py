"""Dense numbers under load: eight phones push at once while others fetch, on both databases."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

from tests.builders import FieldPhone
from tests.server.running import Caller

PHONES = 8
BATCHES = 12
BATCH = 15


def pushes(caller: Caller) -> dict[str, int]:
    """Push batch after batch, some of it twice; returns the number that each entry was given."""
    phone = FieldPhone()
    visit = phone.visit(phone.tree(phone.garden()))
    numbers: dict[str, int] = {}
    for _ in range(BATCHES):
        marks = [phone.mark(visit, "clean") for _ in range(BATCH)]
        first, again = caller.push(marks), caller.push(marks[::3])
        numbers.update({answer["id"]: answer["seq"] for answer in first})
        assert all(numbers[answer["id"]] == answer["seq"] for answer in again)
    return numbers


def polls(caller: Caller, done: threading.Event) -> dict[str, int]:
    """Fetch from the cursor on until all pushing has ended and nothing more comes; refuses a hole."""
    numbers: dict[str, int] = {}
    while True:
        ended = done.is_set()
        page = caller.pull(len(numbers), 37)
        for item in page["items"]:
            assert item["seq"] == len(numbers) + 1, "a hole"
            numbers[item["entry"]["id"]] = item["seq"]
        assert page["to"] <= page["max"]
        if ended and not page["items"]:
            return numbers


def test_numbers_are_dense_and_no_poller_misses_one(either_server):
    group = either_server.group()
    phones = [either_server.caller(group) for _ in range(PHONES)]
    pollers = [either_server.caller(group) for _ in range(2)]
    done = threading.Event()
    with ThreadPoolExecutor(PHONES + 2) as pool:
        polled = [pool.submit(polls, poller, done) for poller in pollers]
        pushed = [pool.submit(pushes, phone) for phone in phones]
        try:
            given = {entry: seq for one in pushed for entry, seq in one.result().items()}
        finally:
            done.set()
        seen = [poll.result() for poll in polled]
    assert sorted(given.values()) == list(range(1, PHONES * BATCHES * BATCH + 1))
    assert seen == [given, given]


def test_eight_phones_that_push_the_same_entries_store_them_once(either_server):
    group = either_server.group()
    phone = FieldPhone()
    visit = phone.visit(phone.tree(phone.garden()))
    marks = [phone.mark(visit, "clean") for _ in range(60)]
    callers = [either_server.caller(group) for _ in range(PHONES)]
    with ThreadPoolExecutor(PHONES) as pool:
        answers = list(pool.map(lambda caller: caller.push(marks), callers))
    assert answers == [answers[0]] * PHONES
    assert callers[0].pulled_ids() == [mark.id for mark in marks]


def test_groups_have_numbers_of_their_own(either_server):
    hill, valley = either_server.group(), either_server.group("Valley (invented)")
    phone = FieldPhone()
    garden, tree = phone.garden(), phone.tree(phone.garden())
    assert [answer["seq"] for answer in either_server.caller(hill).push([garden, tree])] == [1, 2]
    assert [answer["seq"] for answer in either_server.caller(valley).push([tree])] == [1]

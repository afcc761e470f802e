"""The worker: one thread, jobs in their order, answers handed back, failures told and survived."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from queue import Queue

import pytest

from mobile.worker import Worker


class Desk:
    """Where answers arrive, and what was opened and closed."""

    def __init__(self) -> None:
        self.answers: Queue[object] = Queue()
        self.log: list[str] = []

    @contextmanager
    def opening(self) -> Iterator[list[int]]:
        """Opens a list, which only the worker's thread may use."""
        self.log.append(f"opened on {threading.current_thread().name}")
        yield []
        self.log.append("closed")

    def hear(self, answer: object) -> None:
        """Keep an answer."""
        self.answers.put(answer)

    def next(self) -> object:
        """The next answer."""
        return self.answers.get(timeout=5)


@pytest.fixture
def desk() -> Desk:
    """An empty desk."""
    return Desk()


@pytest.fixture
def worker(desk: Desk) -> Iterator[Worker[list[int]]]:
    """A worker at work."""
    worker = Worker(desk.opening, lambda call: call())
    worker.start(desk.hear)
    yield worker
    worker.stop()


def appended(number: int):
    """A job that appends and answers with everything so far."""

    def work(numbers: list[int]) -> list[int]:
        numbers.append(number)
        return list(numbers)

    return work


def test_jobs_are_done_in_the_order_they_were_asked(worker: Worker[list[int]], desk: Desk) -> None:
    for number in range(50):
        worker.do(appended(number), desk.hear, desk.hear)
    answers = [desk.next() for _ in range(50)]
    assert answers[-1] == list(range(50))


def test_the_thing_is_opened_and_used_on_the_workers_thread_alone(
    worker: Worker[list[int]], desk: Desk
) -> None:
    worker.do(lambda _: threading.current_thread().name, desk.hear, desk.hear)
    assert desk.next() == "pomeward-worker"
    assert desk.log == ["opened on pomeward-worker"]


def test_asking_does_not_wait_for_the_answer(worker: Worker[list[int]], desk: Desk) -> None:
    gate = threading.Event()
    worker.do(lambda _: gate.wait(5), desk.hear, desk.hear)
    assert desk.answers.empty()
    gate.set()
    assert desk.next() is True


def test_a_job_that_fails_is_told_and_the_next_one_is_done(worker: Worker[list[int]], desk: Desk) -> None:
    worker.do(lambda _: 1 // 0, desk.hear, desk.hear)
    worker.do(appended(7), desk.hear, desk.hear)
    assert isinstance(desk.next(), ZeroDivisionError)
    assert desk.next() == [7]


def test_stopping_finishes_what_was_asked_and_closes(desk: Desk) -> None:
    worker = Worker(desk.opening, lambda call: call())
    worker.start(desk.hear)
    for number in range(20):
        worker.do(appended(number), desk.hear, desk.hear)
    worker.stop()
    assert desk.answers.qsize() == 20 and desk.log[-1] == "closed"


def test_what_cannot_be_opened_is_told() -> None:
    @contextmanager
    def locked() -> Iterator[None]:
        raise OSError("locked")
        yield

    told: Queue[Exception] = Queue()
    worker: Worker[None] = Worker(locked, lambda call: call())
    worker.start(told.put)
    assert str(told.get(timeout=5)) == "locked"
    worker.stop()

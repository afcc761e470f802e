"""One thread that does what must not hold up the drawing: a queue of jobs on one thing that it opened. Knows no window.

Jobs run one after another in the order they were given, so what a person touched first is written first. The thing
(the phone's store) is opened, used and closed on this thread alone.
"""

import logging
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any, Generic, TypeVar

T = TypeVar("T")
R = TypeVar("R")

Post = Callable[[Callable[[], None]], None]  # hands a call to the drawing thread


@dataclass(frozen=True, slots=True)
class Job(Generic[T]):
    """Work on the thing that is open, and what happens with its answer or its failure on the drawing thread."""

    work: Callable[[T], Any]
    then: Callable[[Any], None]
    failed: Callable[[Exception], None]


class Worker(Generic[T]):
    """The thread. `opening` makes the thing; `post` brings every answer back to the drawing thread."""

    def __init__(self, opening: Callable[[], AbstractContextManager[T]], post: Post) -> None:
        self._opening = opening
        self._post = post
        self._jobs: SimpleQueue[Job[T] | None] = SimpleQueue()
        self._not_opened: Callable[[Exception], None] = _log
        self._thread = threading.Thread(target=self._run, name="pomeward-worker", daemon=True)

    def start(self, not_opened: Callable[[Exception], None]) -> None:
        """Begin; `not_opened` is told where the thing cannot be opened, and no job is done then."""
        self._not_opened = not_opened
        self._thread.start()

    def do(
        self, work: Callable[[T], R], then: Callable[[R], None], failed: Callable[[Exception], None]
    ) -> None:
        """Do this after everything that was asked before; returns at once."""
        self._jobs.put(Job(work, then, failed))

    def stop(self, within: float = 10.0) -> None:
        """Finish what was asked, close the thing, end; waits `within` [s] at most."""
        self._jobs.put(None)
        if self._thread.is_alive():
            self._thread.join(within)

    def _run(self) -> None:
        try:
            with self._opening() as thing:
                while (job := self._jobs.get()) is not None:
                    self._one(job, thing)
        except Exception as error:  # the drawing thread has to hear of whatever it is
            self._tell(self._not_opened, error)

    def _one(self, job: Job[T], thing: T) -> None:
        try:
            answer = job.work(thing)
        except Exception as error:  # one failing job must not end the thread that writes all others
            self._tell(job.failed, error)
        else:
            self._tell(job.then, answer)

    def _tell(self, hear: Callable[[Any], None], what: object) -> None:
        self._post(lambda: hear(what))


def _log(error: Exception) -> None:
    logging.getLogger(__name__).error("not opened", exc_info=error)

"""Making very many records at once without Python looking through them for garbage all the while. Knows no records."""

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_LOCK = threading.Lock()
_inside = 0


@contextmanager
def making_many() -> Iterator[None]:
    """Inside, reference cycles wait to be collected; everything else is freed as ever.

    Python looks through all objects each time that a quarter more of them have been made. Of a season with thousands
    of trees that was half of the work, and what a tree cost grew with the number of trees. Several threads may be
    inside; the last to leave lets Python look again.

    >>> with making_many():
    ...     gc.isenabled()
    False
    >>> gc.isenabled()
    True
    """
    _enter()
    try:
        yield
    finally:
        _leave()


def _enter() -> None:
    global _inside
    with _LOCK:
        _inside += 1
        gc.disable()


def _leave() -> None:
    global _inside
    with _LOCK:
        _inside -= 1
        if _inside == 0:
            gc.enable()

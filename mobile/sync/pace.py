"""When to exchange next without being asked: soon after something new, rarely otherwise, ever more rarely after failures.

After a failure the wait is drawn evenly from 2 s up to twice as long as before, 15 min at most ("full jitter"), so that
the phones of a group which lost their server together do not all come back at one moment. What a server asks for
(Retry-After) is kept to, whoever comes back from a pause. Knows no clock and no network: times are given, in seconds.
"""

import random
from collections.abc import Callable

BEGIN = 10.0  # [s] after a start: whoever opens the app touches something first
SOON = 5.0  # [s] after something new: a run of touches is one exchange
EVERY = 15 * 60.0  # [s] to hear from others
LEAST, MOST = 2.0, 15 * 60.0  # [s] after a failure
LONGEST_ASKED = 60 * 60.0  # [s] what a server may ask for

Drawn = Callable[[float, float], float]


class Pace:
    """The moment of the next exchange."""

    def __init__(self, now: float, drawn: Drawn = random.uniform) -> None:
        self._drawn = drawn
        self._next = now + BEGIN
        self._not_before = now
        self._failures = 0

    def is_due(self, now: float) -> bool:
        """Whether to exchange now."""
        return now >= max(self._next, self._not_before)

    def something_new(self, now: float) -> None:
        """Something was recorded; while the server does not answer, that changes nothing."""
        if not self._failures:
            self._next = min(self._next, now + SOON)

    def back_again(self, now: float) -> None:
        """The app was put aside and is back, or the network is: what failed before may pass."""
        self._next = min(self._next, now)

    def succeeded(self, now: float) -> None:
        """All is exchanged."""
        self._failures = 0
        self._next = now + EVERY

    def failed(self, now: float, asked: float | None = None) -> None:
        """It did not go through; `asked` is how long the server wants to be left alone [s]."""
        self._failures += 1
        self._next = now + self._drawn(LEAST, min(MOST, LEAST * 2.0 ** min(self._failures, 20)))
        self._not_before = now + min(asked or 0.0, LONGEST_ASKED)

"""Stamps: a hybrid logical clock that orders edits. A stamp is never a date and never shown.

"Whoever saw a value and replaced it does not lose to it": a clock that has received a stamp ticks past it.
48 bits of milliseconds and a 16-bit counter, written as 16 hexadecimal digits, since order of text is then
order of time and no JSON reader rounds it (RFC 7493 asks for text beyond 2**53).
After Kulkarni and others 2014, "Logical physical clocks" (cited from memory).
"""

import re
from dataclasses import dataclass

STAMP_FORM = re.compile(r"[0-9a-f]{16}")
EARLIEST_MS = (
    1_748_736_000_000  # 1 June 2025, before the first release: a clock that says less has lost its date
)
LATEST_MS = EARLIEST_MS + 20 * 365 * 86_400_000  # twenty years on; beyond it a clock is not believed
MOST_RECEIVED = 1 << 63  # no clock of ours comes near; what lies beyond would leave no room to count on


@dataclass(slots=True)
class HybridClock:
    """Gives stamps that never go back, whatever the wall clock does; `last` is saved with each entry."""

    last: int = 0

    def tick(self, wall_ms: int) -> str:
        """The next stamp: the wall clock where it can be believed and is ahead, else one more than the last."""
        wall = wall_ms << 16 if EARLIEST_MS <= wall_ms <= LATEST_MS else 0
        self.last = max(wall, self.last + 1)
        return written(self.last)

    def receive(self, stamp: str) -> None:
        """Take note of a stamp that came from elsewhere, so that the next tick lies after it."""
        number = int(stamp, 16)
        if number < MOST_RECEIVED:
            self.last = max(self.last, number)


def written(stamp: int) -> str:
    """The 16 hexadecimal digits of a stamp."""
    return f"{stamp:016x}"

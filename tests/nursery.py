"""A process that has read all its code and has children that do one thing, to be killed in the middle of it.

Reading the code takes longer than most of what is to be killed; a child begins at once. Knows nothing of what they do.
"""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Self

ROOT = Path(__file__).resolve().parents[1]
# A child that has ended keeps its number until its mother has asked for it, so nobody else is ever killed.
_MOTHER = """
import os, signal, sys, time
{reads}
for line in sys.stdin:
    after, *given = line.rstrip("\\n").split("\\t")
    child = os.fork()
    if child == 0:
        {does}
        os._exit(0)
    if after:
        time.sleep(float(after))
        os.kill(child, signal.SIGKILL)
    print(os.waitpid(child, 0)[1], flush=True)
"""


class Nursery:
    """`reads` are the imports, `does` is a line of code in which `given` are the texts that each child is given."""

    def __init__(self, reads: str, does: str) -> None:
        self._code = _MOTHER.format(reads=reads, does=does)

    def __enter__(self) -> Self:
        self._mother = subprocess.Popen(
            [sys.executable, "-c", self._code],
            cwd=ROOT,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._mother.communicate(timeout=60)

    def seconds(self, *given: str) -> float:
        """Let a child do it undisturbed; how long that took."""
        begun = time.monotonic()
        assert self._ended("", given) == 0, "A child that nobody kills does what it is asked."
        return time.monotonic() - begun

    def kill(self, after: float, *given: str) -> bool:
        """Kill a child after so many seconds; False where it was done before."""
        ended = self._ended(str(after), given)
        assert ended in (0, signal.SIGKILL), "A child failed by itself."
        return ended != 0

    def _ended(self, after: str, given: tuple[str, ...]) -> int:
        assert self._mother.stdin and self._mother.stdout
        self._mother.stdin.write("\t".join((after, *given)) + "\n")
        self._mother.stdin.flush()
        return int(self._mother.stdout.readline())

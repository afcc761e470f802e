"""Processes that can be killed and are back within milliseconds: forked from one that has imported everything.

A child reports line by line on a pipe. The server is what `python -m server serve` runs; only its answers to a push can
be made late, so that a kill falls between commit and reply. Fork only while the parent has no other thread and no
SQLite file open: its locks do not survive that.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from socket import AF_INET, IPPROTO_TCP, SO_REUSEADDR, SOCK_STREAM, SOL_SOCKET, socket
from typing import Any

from server.api import entries
from server.cli import serving
from server.settings import PREFIX, Settings

Say = Callable[[str], None]
COMMITTED, ANSWERED = "committed", "answered"


class Child:
    """One process; `start` again after `kill` as often as one likes."""

    def __init__(self, name: str, work: Callable[[Say], None]) -> None:
        self.name, self._work = name, work
        self._pid = 0
        self._pipe = -1
        self._half = b""

    def start(self) -> None:
        """Let it do its work, which must not end."""
        sys.stdout.flush()
        self._pipe, writing = os.pipe()
        parent = os.getpid()
        self._pid = os.fork()
        if self._pid == 0:
            os.close(self._pipe)
            threading.Thread(target=_end_with, args=(parent,), daemon=True).start()
            _live(self._work, writing)
        os.close(writing)
        os.set_blocking(self._pipe, False)
        self._half = b""

    def said(self) -> list[str]:
        """What it reported since one last asked, as far as it is here."""
        parts = [self._half]
        with suppress(BlockingIOError):
            while part := os.read(self._pipe, 65536):
                parts.append(part)
        *lines, self._half = b"".join(parts).split(b"\n")
        return [line.decode() for line in lines]

    def kill(self) -> list[str]:
        """SIGKILL, its own process only; what it had reported until then."""
        os.kill(self._pid, signal.SIGKILL)
        _, status = os.waitpid(self._pid, 0)
        self._pid = 0
        assert os.WIFSIGNALED(status), f"{self.name} ended before it was killed"
        rest = self.said()
        os.close(self._pipe)
        return rest

    def end(self) -> None:
        """Be rid of it, whatever its state."""
        if self._pid:
            with suppress(ProcessLookupError):
                os.kill(self._pid, signal.SIGKILL)
            os.waitpid(self._pid, 0)
            os.close(self._pipe)
            self._pid = 0


def _live(work: Callable[[Say], None], pipe: int) -> None:
    try:
        os.dup2(pipe, 1)  # what it prints is a report too
        work(lambda line: _write(pipe, line))
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(1)


def _end_with(parent: int) -> None:
    """Nobody is left behind when the parent itself is killed."""
    while os.getppid() == parent:
        time.sleep(1)
    os._exit(1)


def _write(pipe: int, line: str) -> None:
    os.write(pipe, line.encode() + b"\n")


class Address:
    """A port that stays ours while the server is down: bound, never listened on."""

    def __init__(self) -> None:
        self._kept = socket(AF_INET, SOCK_STREAM, IPPROTO_TCP)
        self._kept.setsockopt(SOL_SOCKET, SO_REUSEADDR, 1)
        self._kept.bind(("127.0.0.1", 0))
        self.port: int = self._kept.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"

    def close(self) -> None:
        """Give it back."""
        self._kept.close()


def server_process(settings: Settings, address: Address, longest_pause: float) -> Child:
    """The server on that port; each answer to a push waits up to `longest_pause` [s] after its commit."""

    def serve(say: Say) -> None:
        os.environ[f"{PREFIX}DATA"] = str(settings.data)
        os.environ[f"{PREFIX}DATABASE_URL"] = settings.database_url
        real, chance = entries._push, random.Random()

        def answers_late(*asked: Any) -> bytes:
            answer = real(*asked)
            say(COMMITTED)
            time.sleep(chance.uniform(0, longest_pause))
            say(ANSWERED)
            return answer

        entries._push = answers_late  # type: ignore[assignment]
        serving.serve(port=address.port)

    return Child("server", serve)

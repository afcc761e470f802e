"""Who did what to the server: written where it is done, in the same transaction, and read by the command `audit`."""

import getpass
import threading
import time
from collections import deque
from collections.abc import Callable
from enum import StrEnum

from sqlalchemy import Connection

from server.database import audit
from server.database.audit import Line
from server.database.engine import Database
from server.database.members import Device
from server.services.moments import now_utc
from server.services.plain_text import plain
from shared_models.language import say, spoken, word

MOST_FAILED = 20  # lines a minute; whoever guesses codes does not fill the disk
_A_MINUTE = 60.0


class Deed(StrEnum):
    """What is written down."""

    CONNECTED = "connected"
    NOT_CONNECTED = "not_connected"
    DISCONNECTED = "disconnected"
    BACKED_UP = "backed_up"
    RESTORED = "restored"
    RECOVERED = "recovered"


_IN_WORDS = {
    Deed.CONNECTED: word("connected"),
    Deed.NOT_CONNECTED: word("could not connect"),
    Deed.DISCONNECTED: word("disconnected a device"),
    Deed.BACKED_UP: word("made a backup"),
    Deed.RESTORED: word("restored a backup"),
    Deed.RECOVERED: word("ended the recovery"),
}


def note(connection: Connection, deed: Deed, group: str | None, who: str, about: str = "") -> None:
    """Write down what is done in this transaction; without it, it was not done either."""
    audit.add(connection, Line(now_utc(), group, plain(who)[:200], deed.value, plain(about)[:500]))


def command_user() -> str:
    """Whoever runs a command on the server itself."""
    try:
        name = getpass.getuser()
    except (KeyError, OSError):  # a user that the system has no name for
        name = "?"
    return say("command of {user}", user=name)


def named(device: Device) -> str:
    """A device as it is written down."""
    return f"{device.device_name}, {device.person_name} ({device.id})"


class Refusals:
    """Attempts to connect that were refused: each is a line, up to so many a minute; the others are counted."""

    def __init__(self, database: Database, clock: Callable[[], float] = time.monotonic) -> None:
        self._database = database
        self._clock = clock
        self._one_at_a_time = threading.Lock()
        self._lately: deque[float] = deque()
        self._untold = 0

    def note(self, where: str) -> None:
        """Write down that somebody there could not connect."""
        with self._one_at_a_time:
            if not self._is_room():
                self._untold += 1
                return
            more, self._untold = self._untold, 0
        about = say("from {where}", where=where or "?")
        if more:
            about = say("{about}, and {count} more before", about=about, count=more)
        with self._database.writing() as connection:
            note(connection, Deed.NOT_CONNECTED, None, say("unknown"), about)

    def _is_room(self) -> bool:
        now = self._clock()
        while self._lately and now - self._lately[0] >= _A_MINUTE:
            self._lately.popleft()
        if len(self._lately) >= MOST_FAILED:
            return False
        self._lately.append(now)
        return True


def told(database: Database, group: str | None) -> list[str]:
    """The lines as they are printed, oldest first; of one group, or all."""
    with database.reading() as connection:
        return [_printed(line) for line in audit.lines(connection, group)]


def _printed(line: Line) -> str:
    deeds = {deed.value: deed for deed in Deed}
    what = spoken(_IN_WORDS[deeds[line.what]]) if line.what in deeds else line.what
    parts = [line.at, line.who, what, line.group or "", line.about]
    return "  ".join(part for part in parts if part)

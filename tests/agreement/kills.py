"""Kill phones and their server at work, again and again, and look whether anything is gone, doubled or damaged.

    python -m tests.agreement.kills 600
    python -m tests.agreement.kills 600 --postgresql

Two phones tally fruit and exchange without rest; a third begins with an empty file again and again and fetches page
after page. Each is a process of its own, and so is the server. One of the four is killed (SIGKILL) 0 to 300 ms after
the kill before, wherever it is, or right after it said what it does, and started again; every other one is looked at
first. After every hundred kills another group begins.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path

import httpx
from sqlalchemy import select

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.sync import pull
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from server.database import members
from server.database.engine import open_database
from server.settings import Settings
from shared_models.errors import NotReachableError
from shared_models.store.tables import ENTRY
from tests.agreement.processes import ANSWERED, COMMITTED, Address, Child, Say, server_process
from tests.agreement.server_side import ServerSide
from tests.mobile.phones import SetClock, mark, picking_visit
from tests.postgres import PrivatePostgres

LONGEST = 0.300  # [s] from one kill to the next
LONGEST_PAUSE = 0.080  # [s] that the server takes between commit and reply
LOOKED_AT = (
    0.5  # of those killed; the other half has to mend itself, since looking already takes the journal in
)
SMALL_PAGE = 40  # entries; many pages, so that kills fall between and inside them
PATIENCE = 10.0
LONGEST_WAIT = 3.0  # [s] for the word that a kill waits for
OF_A_GROUP = 100  # kills; its files would grow, and everything that is looked at with them
SEASON = "2026"
A_MOMENT = 0.030  # [s] at most that a kill comes after the word it waited for
RECORDED, EXCHANGING, SHARED, WHOLE = "recorded", "exchanging", "shared", "whole"  # what a phone says
# What a kill of each waits for; nothing: it comes whenever it comes, amid a start too.
TALLYING = ("", "", RECORDED, EXCHANGING, SHARED)
MOMENTS = {
    "phone 0": TALLYING,
    "phone 1": TALLYING,
    "new phone": ("", EXCHANGING),
    "server": ("", COMMITTED),
}


@dataclass
class Campaign:
    """What the kills so far came to; `lost`, `doubled` and `damaged` have to stay empty."""

    kills: dict[str, int] = field(default_factory=dict)
    between_commit_and_reply: int = 0
    amid_exchange: int = 0
    amid_marks: int = 0
    recorded: int = 0
    acknowledged: int = 0
    fetched_whole: int = 0
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        """Whether nothing was lost, doubled or damaged."""
        return not (self.lost or self.doubled or self.damaged)

    def add(self, other: Campaign) -> None:
        """Take in what another came to."""
        for name, value in vars(other).items():
            if name != "kills":
                setattr(self, name, getattr(self, name) + value)
        for name, count in other.kills.items():
            self.kills[name] = self.kills.get(name, 0) + count


@dataclass
class Phone:
    """A phone's file and what its process reported of it."""

    file: Path
    recorded: set[str] = field(default_factory=set)
    acknowledged: dict[str, int] = field(default_factory=dict)
    last: str = ""

    def note(self, lines: list[str]) -> None:
        """Take reports in."""
        for line in lines:
            word, *about = line.split()
            if word == RECORDED:
                self.recorded.add(about[0])
            elif word == SHARED:
                self.acknowledged[about[0]] = int(about[1])
            self.last = word


class Group:
    """A group on a server, two phones that know a visit, and the file of one that knows nothing yet."""

    def __init__(self, folder: Path, url: str) -> None:
        self.settings = Settings(data=folder / "server", database_url=url)
        self.address = Address()
        self.phones = [Phone(folder / f"phone{one}.db") for one in range(3)]
        self.empty = folder / "empty.db"
        self._group: members.Group | None = None
        with self.side() as side:
            self._group = side.group
            self.visit = self._begin(side)

    def _begin(self, side: ServerSide) -> str:
        stores = [PhoneStore(phone.file, SetClock()) for phone in self.phones]
        for store in stores:
            store.begin("Keeper (invented)", "Europe/Rome")
            side.connect(store)
        visit = picking_visit(stores[0])
        for store in stores[:2] * 2:
            exchange(store, side.door(store))
        for store in stores:
            store.close()
        shutil.copy(self.phones[2].file, self.empty)
        return visit

    @contextmanager
    def side(self) -> Iterator[ServerSide]:
        """The server's database, for as long as no process is forked."""
        database = open_database(self.settings.database)
        try:
            yield ServerSide(database, self._group)
        finally:
            database.close()

    # ------------------------------------------------------------ in the children
    def tally(self, phone: Phone, say: Say) -> None:
        """A person who tallies without rest, in ones and in heaps, and a phone that exchanges after each few."""
        store, chance = PhoneStore(phone.file), random.Random()
        mine: set[str] = set()
        while True:
            heap = [Draft("mark", {"visit": self.visit, "marks": ["clean"]})] * chance.choice((0, 0, 30))
            mine.update(made := store.record_all(heap))
            for one in made:
                say(f"{RECORDED} {one}")
            for _ in range(chance.randrange(1, 6)):
                mine.add(one := mark(store, self.visit))
                say(f"{RECORDED} {one}")
            say(EXCHANGING)
            self._exchange(store)
            for one, seq in _shared(store, mine):
                say(f"{SHARED} {one} {seq}")
                mine.remove(one)

    def fetch(self, phone: Phone, say: Say) -> None:
        """A new phone that fetches everything, goes on where it was killed, and then is new again."""
        while True:
            store = PhoneStore(phone.file)
            say(EXCHANGING)
            while not self._exchange(store):
                pass
            say(WHOLE)
            store.close()
            self.make_new(phone)

    def make_new(self, phone: Phone) -> None:
        """An empty file in the place of the one that is there, which was closed."""
        os.replace(shutil.copy(self.empty, phone.file.with_suffix(".new")), phone.file)

    def _exchange(self, store: PhoneStore) -> bool:
        pull.PAGE = SMALL_PAGE
        member = store.membership.current()
        assert member
        client = httpx.Client(trust_env=False, verify=False, timeout=PATIENCE)
        with RemoteServer(self.address.url, member.token, client) as server:
            try:
                exchange(store, server)
            except NotReachableError:
                time.sleep(0.01)
                return False
        return True


def _shared(store: PhoneStore, of: set[str]) -> list[tuple[str, int]]:
    """Those of these entries that the server has acknowledged, with their numbers."""
    with store._database.reading() as core:
        asked = select(ENTRY.c.id, ENTRY.c.seq).where(ENTRY.c.id.in_(of), ENTRY.c.seq.is_not(None))
        return [(row.id, row.seq) for row in core.execute(asked)]


# ---------------------------------------------------------------- looking
def look_at_phone(phone: Phone, campaign: Campaign) -> None:
    """What was reported is in the file, what the cursor has passed too, and each mark counts once."""
    with closing(sqlite3.connect(phone.file)) as file:
        (sound,) = file.execute("PRAGMA quick_check").fetchone()
        numbers = dict(file.execute("SELECT id, seq FROM entry").fetchall())
        waiting = {one for (one,) in file.execute("SELECT id FROM outbox")}
        cursor = int((file.execute("SELECT value FROM phone WHERE name = 'cursor'").fetchone() or "0")[0])
        (logged,) = file.execute("SELECT count(*) FROM entry WHERE kind = 'mark'").fetchone()
        (counted,) = file.execute("SELECT count(*) FROM mark").fetchone()
    if sound != "ok":
        campaign.damaged.append(f"{phone.file.name}: {sound}")
    campaign.lost += phone.recorded - numbers.keys()
    campaign.lost += [one for one, seq in phone.acknowledged.items() if numbers.get(one) != seq]
    campaign.lost += [one for one, seq in numbers.items() if seq is None and one not in waiting]
    passed = sum(seq is not None and seq <= cursor for seq in numbers.values())
    if passed != cursor:
        campaign.lost.append(f"{phone.file.name}: the cursor has passed {cursor}, {passed} are there")
    if counted != logged:
        campaign.doubled.append(f"{phone.file.name}: {logged} marks count {counted}")


def look_at_server(group: Group, campaign: Campaign) -> None:
    """What was acknowledged is there under its number, and the numbers have no hole."""
    if not group.settings.database_url:
        with closing(sqlite3.connect(group.settings.data / "server.sqlite")) as file:
            (sound,) = file.execute("PRAGMA quick_check").fetchone()
        if sound != "ok":
            campaign.damaged.append(f"server: {sound}")
    with group.side() as side:
        numbers = side.entries()
    for phone in group.phones:
        campaign.lost += [one for one, seq in phone.acknowledged.items() if numbers.get(one) != seq]
    if sorted(numbers.values()) != list(range(1, len(numbers) + 1)):
        campaign.damaged.append("server: the numbers have a hole")


def look_at_the_end(group: Group, campaign: Campaign) -> None:
    """After a last exchange of all: everybody has the same, and that is what was recorded."""
    recorded: set[str] = set().union(*(phone.recorded for phone in group.phones))
    with group.side() as side:
        stores = [PhoneStore(phone.file) for phone in group.phones]
        for store in stores * 2:
            exchange(store, side.door(store))
        numbers, season = side.entries(), side.season(SEASON)
        campaign.lost += recorded - numbers.keys()
        for phone, store in zip(group.phones, stores, strict=True):
            entries = {entry.id: entry.kind for entry in store.history(10**6)}
            marks = sum(kind == "mark" for kind in entries.values())
            if entries.keys() != numbers.keys() or store.sharing().waiting:
                campaign.lost.append(f"{phone.file.name} holds other entries than the server")
            if sum(count.n for count in store.tallies(group.visit)) != marks:
                campaign.doubled.append(f"{phone.file.name} counts other than {marks}")
            if store.season(SEASON) != season or store.looking.look_through():
                campaign.damaged.append(f"{phone.file.name} folds another season")
            store.close()
    campaign.recorded = len(recorded)
    campaign.acknowledged = sum(len(phone.acknowledged) for phone in group.phones)


# ---------------------------------------------------------------- killing
class Killing:
    """The four processes, what they said, and what the kills came to."""

    def __init__(self, group: Group, chance: random.Random) -> None:
        self.campaign = Campaign()
        self._group, self._chance = group, chance
        self._server = server_process(group.settings, group.address, LONGEST_PAUSE)
        first, second, new = group.phones
        self._phones = {
            Child("phone 0", lambda say: group.tally(first, say)): first,
            Child("phone 1", lambda say: group.tally(second, say)): second,
            Child("new phone", lambda say: group.fetch(new, say)): new,
        }
        self._unanswered = 0  # pushes that the server has committed

    @property
    def children(self) -> list[Child]:
        """All four."""
        return [self._server, *self._phones]

    def kill_one(self) -> None:
        """Kill one, look at it or let it mend itself, and start it again."""
        time.sleep(self._chance.uniform(0, LONGEST))
        victim = self._chance.choice(self.children)
        self._wait_for(victim, self._chance.choice(MOMENTS[victim.name]))
        self._hear(victim, victim.kill())
        self._count(victim)
        if self._chance.random() < LOOKED_AT:
            self._look(victim)
        victim.start()

    def kill_all(self) -> None:
        """The end of it; each is looked at."""
        for child in self.children:
            self._hear(child, child.kill())
        for child in self.children:
            self._look(child)
        look_at_the_end(self._group, self.campaign)

    def _wait_for(self, victim: Child, word: str) -> None:
        """Until the victim says this word, and then a moment longer; not for ever."""
        until = time.monotonic() + LONGEST_WAIT
        while word and time.monotonic() < until:
            lines = victim.said()
            self._hear(victim, lines)
            if any(line.startswith(word) for line in lines):
                time.sleep(self._chance.uniform(0, A_MOMENT))
                return
            time.sleep(0.002)

    def _count(self, victim: Child) -> None:
        for child in self.children:
            if child is not victim:
                self._hear(child, child.said())
        self.campaign.kills[victim.name] = self.campaign.kills.get(victim.name, 0) + 1
        if victim is self._server:
            self.campaign.between_commit_and_reply += self._unanswered > 0
            self._unanswered = 0
        else:
            self.campaign.amid_exchange += self._phones[victim].last == EXCHANGING
            self.campaign.amid_marks += self._phones[victim].last == RECORDED

    def _hear(self, child: Child, lines: list[str]) -> None:
        if child is self._server:
            self._unanswered += lines.count(COMMITTED) - lines.count(ANSWERED)
        else:
            self._phones[child].note(lines)
            self.campaign.fetched_whole += lines.count(WHOLE)

    def _look(self, child: Child) -> None:
        if child is self._server:
            look_at_server(self._group, self.campaign)
        else:
            look_at_phone(self._phones[child], self.campaign)


def run(group: Group, kills: int, chance: random.Random) -> Campaign:
    """Kill as often as asked."""
    started, killing = time.monotonic(), Killing(group, chance)
    with ExitStack() as until_the_end:
        for child in killing.children:
            until_the_end.callback(child.end)
            child.start()
        for _ in range(kills):
            killing.kill_one()
        killing.kill_all()
    killing.campaign.seconds = round(time.monotonic() - started, 1)
    return killing.campaign


def run_once(url: str, kills: int, chance: random.Random) -> Campaign:
    """The same with a group that begins, in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        group = Group(Path(folder), url)
        try:
            return run(group, kills, chance)
        finally:
            group.address.close()


def main() -> int:
    """Run a campaign and print what it came to."""
    parser = argparse.ArgumentParser(description="Kill phones and their server at work.")
    parser.add_argument("kills", type=int, nargs="?", default=40)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--postgresql", action="store_true")
    asked = parser.parse_args()
    campaign, url = Campaign(), ""
    with ExitStack() as until_the_end:
        postgres = until_the_end.enter_context(PrivatePostgres()) if asked.postgresql else None
        for done in range(0, asked.kills, OF_A_GROUP):
            url = postgres.new_database() if postgres else ""
            campaign.add(run_once(url, min(OF_A_GROUP, asked.kills - done), random.Random(asked.seed + done)))
            print(
                f"{sum(campaign.kills.values())} kills, {campaign.seconds:.0f} s", file=sys.stderr, flush=True
            )
    campaign.seconds = round(campaign.seconds, 1)
    told = asdict(campaign) | {"clean": campaign.clean, "database": "PostgreSQL" if url else "SQLite"}
    print(json.dumps(told))
    return 0 if campaign.clean else 1


if __name__ == "__main__":
    sys.exit(main())

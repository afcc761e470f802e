"""Eight writers and those who fetch meanwhile: whether anybody's cursor ever passes an entry that it has not seen.

    python -m tests.agreement.cursor --entries 200000
    python -m tests.agreement.cursor --entries 200000 --postgresql --workers 4

Writers, readers and server processes are real processes. With PostgreSQL somebody else leaves a transaction open all the
while, which has written to the same tables. Prints what it came to; any answer but 200 ends it.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass, field
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from socket import AF_INET, IPPROTO_TCP, SOCK_STREAM, socket

import httpx
import psycopg
import uvicorn

from server.app import create_app, open_services
from server.database.members import Group
from server.settings import Settings
from shared_models.entries import canonical_text
from shared_models.identifiers import new_id
from shared_models.protocol import MAX_PUSH_ENTRIES, ConnectRequest
from shared_models.vocabulary import Role
from tests.agreement.processes import Child, Say
from tests.builders import FieldPhone
from tests.postgres import PrivatePostgres
from tests.server.running import Caller

WRITERS = 8
READERS = 2
PATIENCE = 300.0
LONGEST_SILENCE = 60.0  # [s] after which a reader stops waiting for entries that do not come
AGAIN = 0.1  # of the pushes are sent twice, as after a lost answer
PAGES = (37, 500, 2000)


@dataclass
class Campaign:
    """What it came to; `missed`, `doubled` and `holes` have to be 0, and a reader that meets a hole ends everything."""

    entries: int
    workers: int
    pushes: int = 0
    missed: int = 0
    other_number: int = 0
    holes: int = 0
    idle_in_transaction: int = 0
    seconds: float = 0.0
    per_second: int = 0
    pages_while_written: int = 0
    database: str = field(default="SQLite")

    @property
    def clean(self) -> bool:
        """Whether nobody missed anything."""
        return not (self.missed or self.other_number or self.holes)


@dataclass(frozen=True, slots=True)
class Door:
    """Where a member of the group knocks."""

    url: str
    token: str

    @contextmanager
    def open(self) -> Iterator[Caller]:
        """A caller with a connection of its own."""
        client = httpx.Client(base_url=self.url, timeout=PATIENCE, trust_env=False, verify=False)
        with client as http:
            caller = Caller(http)
            caller.take_token(self.token)
            yield caller


# ---------------------------------------------------------------- the processes
def write(count: int, one: int, door: Door) -> tuple[dict[str, int], int]:
    """Push so many entries, in pushes of any size, some of them twice; the number that each was given, and how many pushes."""
    phone, chance = FieldPhone(), random.Random(one)
    visit, numbers, pushes = new_id(), dict[str, int](), 0
    with door.open() as caller:
        while len(numbers) < count:
            size = min(chance.randrange(1, MAX_PUSH_ENTRIES + 1), count - len(numbers))
            texts = [canonical_text(phone.mark(visit, "clean")) for _ in range(size)]
            given = {answer["id"]: answer["seq"] for answer in caller.push_texts(texts)}
            pushes += 1
            if chance.random() < AGAIN:
                again = {answer["id"]: answer["seq"] for answer in caller.push_texts(texts)}
                assert again == given, "another number the second time"
            assert len(given) == size and not given.keys() & numbers.keys()
            numbers |= given
    return numbers, pushes


def read(total: int, one: int, door: Door) -> tuple[dict[str, int], int]:
    """Fetch from the cursor on until everything is here; the number of each entry, and how many pages were not the last."""
    numbers, chance, pages, heard = dict[str, int](), random.Random(one), 0, time.monotonic()
    with door.open() as caller:
        while len(numbers) < total:
            since = len(numbers)
            page = caller.pull(since, chance.choice(PAGES))
            seqs = [item["seq"] for item in page["items"]]
            assert seqs == list(range(since + 1, since + 1 + len(seqs))), f"a hole after {since}"
            numbers.update((item["entry"]["id"], item["seq"]) for item in page["items"])
            assert len(numbers) == since + len(seqs), "an entry came twice"
            pages += page["max"] < total
            if seqs:
                heard = time.monotonic()
            elif time.monotonic() - heard > LONGEST_SILENCE:
                break  # what is still missing is missed
            else:
                time.sleep(0.005)
    return numbers, pages


def serve(settings: Settings, listener: socket, say: Say) -> None:
    """One of the server's processes; all accept from the same socket."""
    app = create_app(settings)
    say("ready")
    uvicorn.Server(uvicorn.Config(app, access_log=False, log_level="warning")).run(sockets=[listener])


@contextmanager
def serving(settings: Settings, listener: socket, workers: int) -> Iterator[None]:
    """A server of so many processes. Fork with no database open: SQLite's locks do not survive it."""
    children = [Child(f"server {one}", partial(serve, settings, listener)) for one in range(workers)]
    with ExitStack() as until_the_end:
        for child in children:
            child.start()
            until_the_end.callback(child.end)
        yield


# ---------------------------------------------------------------- the group
def members(settings: Settings, url: str) -> tuple[list[Door], Group]:
    """A door for each writer and reader of a new group, and another group."""
    services = open_services(settings)
    connecting, doors = services.connecting, []
    group, other = connecting.make_group("Hillside (invented)"), connecting.make_group("Valley (invented)")
    for _ in range(WRITERS + READERS):
        code = connecting.invite(group, Role.KEEPER)
        names = {"device_name": "phone", "person_name": "Keeper"}
        request = ConnectRequest(code=code, device=new_id(), person=new_id(), **names)
        doors.append(Door(url, connecting.connect(request).token))
    services.database.close()
    return doors, other


@contextmanager
def left_open(url: str, other: Group) -> Iterator[psycopg.Connection]:
    """A transaction that has written to another group's counter, and neither ends nor goes on."""
    with psycopg.connect(url.replace("postgresql+psycopg", "postgresql")) as connection:
        connection.execute("UPDATE group_counter SET seq = seq + 0 WHERE group_id = %s", (other.id,))
        connection.execute("SELECT count(*) FROM entry")
        yield connection
        connection.rollback()


def run(folder: Path, url: str, workers: int, entries: int) -> Campaign:
    """Write and read it all, and compare."""
    settings = Settings(data=folder / "server", database_url=url)
    each = entries // WRITERS
    campaign = Campaign(each * WRITERS, workers, database="PostgreSQL" if url else "SQLite")
    with ExitStack() as until_the_end:
        listener = until_the_end.enter_context(socket(AF_INET, SOCK_STREAM, IPPROTO_TCP))
        listener.bind(("127.0.0.1", 0))
        listener.listen(128)
        doors, other = members(settings, f"http://127.0.0.1:{listener.getsockname()[1]}")
        until_the_end.enter_context(serving(settings, listener, workers))
        pool = until_the_end.enter_context(ProcessPoolExecutor(WRITERS + READERS, get_context("fork")))
        started = time.monotonic()
        written = [pool.submit(write, each, one, doors[one]) for one in range(WRITERS)]
        seen = [pool.submit(read, campaign.entries, one, doors[WRITERS + one]) for one in range(READERS)]
        if url:
            idle = until_the_end.enter_context(left_open(url, other))
        given: dict[str, int] = {}
        for numbers, pushes in (one.result() for one in written):
            given |= numbers
            campaign.pushes += pushes
        campaign.seconds = round(time.monotonic() - started, 1)
        campaign.per_second = round(campaign.entries / campaign.seconds)
        for numbers, pages in (one.result() for one in seen):
            campaign.missed += len(given.keys() - numbers.keys()) + len(numbers.keys() - given.keys())
            campaign.other_number += sum(numbers.get(one, seq) != seq for one, seq in given.items())
            campaign.pages_while_written += pages
        campaign.holes = sum(
            one != seq
            for one, seq in zip(range(1, campaign.entries + 1), sorted(given.values()), strict=True)
        )
        if url:
            status = idle.info.transaction_status
            campaign.idle_in_transaction = int(status is psycopg.pq.TransactionStatus.INTRANS)
    return campaign


def main() -> int:
    """Run a campaign in a folder of its own and print what it came to."""
    parser = argparse.ArgumentParser(description="Writers and readers of one group at the same time.")
    parser.add_argument("--entries", type=int, default=8000)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--postgresql", action="store_true")
    asked = parser.parse_args()
    with ExitStack() as until_the_end:
        folder = Path(until_the_end.enter_context(tempfile.TemporaryDirectory()))
        url = ""
        if asked.postgresql:
            url = until_the_end.enter_context(PrivatePostgres()).new_database()
        campaign = run(folder, url, asked.workers, asked.entries)
    print(json.dumps(asdict(campaign) | {"clean": campaign.clean}))
    return 0 if campaign.clean else 1


if __name__ == "__main__":
    sys.exit(main())

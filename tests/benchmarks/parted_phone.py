"""One phone that was without a link for a while, in a process of its own: waits for a line, then exchanges to the end.

`python -m tests.benchmarks.parted_phone floor|pomeward FILE ADDRESS UNSENT TOTAL`
"""

import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import httpx

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.sync.pull import PAGE
from mobile.sync.remote_server import RemoteServer
from shared_models.protocol import MAX_PUSH_ENTRIES
from tests.benchmarks.raw_phone import fetch, raw_phone, send
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.servers import PATIENCE
from tests.mobile.phones import picking_visit

Converge = Callable[[int], None]


def main(kind: str, file: str, address: str, unsent: int, total: int) -> None:
    """Say when all is prepared, wait for a line, exchange until everything of all is here, and say so."""
    with PHONES[kind](Path(file), address, unsent) as converge:
        print("ready", flush=True)
        sys.stdin.readline()
        converge(total)
        print("done", flush=True)
        sys.stdin.readline()  # the end of a phone is nobody's matter here


@contextmanager
def _floor_phone(file: Path, address: str, unsent: int) -> Iterator[Converge]:
    bodies = [one.body for one in sealed_entries(unsent)]
    with raw_phone(file) as driver, httpx.Client(base_url=address, timeout=PATIENCE) as client:

        def converge(total: int) -> None:
            send(client, bodies, MAX_PUSH_ENTRIES)
            fetch(client, driver, total, PAGE)

        yield converge


@contextmanager
def _phone(file: Path, address: str, unsent: int) -> Iterator[Converge]:
    """Its records are made here, so that an app that was in use comes back to its server and not one just begun."""
    with closing(PhoneStore(file)) as store:
        member = store.membership.current()
        assert member, "The phone is not connected."
        visit = picking_visit(store)
        marks = unsent - store.entries_held()
        store.record_all([Draft("mark", {"visit": visit, "marks": ["clean"], "source": "picked"})] * marks)
        with RemoteServer(address, member.token) as server:

            def converge(total: int) -> None:
                while store.entries_held() < total:
                    exchange(store, server)

            yield converge


PHONES = {"floor": _floor_phone, "pomeward": _phone}

if __name__ == "__main__":
    which, where, server, each, of_all = sys.argv[1:]
    main(which, where, server, int(each), int(of_all))

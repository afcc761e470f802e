"""A floor and a real Pomeward server, each in a process of its own, and a client that keeps its connection to each."""

import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx

from server.app import open_services
from server.settings import Settings
from shared_models.identifiers import new_id
from shared_models.protocol import API, ConnectReply, ConnectRequest
from shared_models.vocabulary import Role

PATIENCE = 60  # seconds for one answer
ENTRIES = "/entries"
_PLAIN = {"Accept-Encoding": "identity"}  # packing is a choice of the caller and would hide what is measured
PACKED = {"Accept-Encoding": "gzip"}


@dataclass(frozen=True, slots=True)
class Listening:
    """A server that listens: where, and in which process."""

    address: str
    process: int


@dataclass(frozen=True, slots=True)
class Servers:
    """Two clients that speak to `/entries` of two servers; the real server, and the devices of its group."""

    floor: httpx.Client
    pomeward: httpx.Client
    real: Listening
    members: list[ConnectReply]  # the first of them is the client

    @property
    def tokens(self) -> list[str]:
        """The devices' tokens."""
        return [member.token for member in self.members]


@contextmanager
def both_servers(folder: Path, devices: int = 1) -> Iterator[Servers]:
    """Both listen until the block ends."""
    replies = group_of(folder / "pomeward", [(new_id(), new_id()) for _ in range(devices)])
    with (
        listening("floor", folder) as floor_server,
        listening("pomeward", folder / "pomeward") as server,
        httpx.Client(base_url=floor_server.address, headers=_PLAIN, timeout=PATIENCE) as floor,
        httpx.Client(
            base_url=server.address + API,
            headers={**_PLAIN, "Authorization": f"Bearer {replies[0].token}"},
            params={"epoch": replies[0].epoch},
            timeout=PATIENCE,
        ) as pomeward,
    ):
        yield Servers(floor, pomeward, server, replies)


def push_body(bodies: Sequence[str]) -> bytes:
    """Entries as a phone sends them."""
    return f'{{"entries":[{",".join(bodies)}]}}'.encode()


def push_bodies(bodies: Sequence[str], batch: int) -> list[bytes]:
    """Batches of so many entries."""
    return [push_body(bodies[at : at + batch]) for at in range(0, len(bodies), batch)]


def push(client: httpx.Client, body: bytes) -> httpx.Response:
    """Send a batch; what is not taken is no measure."""
    return client.post(ENTRIES, content=body).raise_for_status()


def pull(client: httpx.Client, since: int, limit: int, packed: bool = False) -> bytes:
    """Fetch a page, and unpack it where it comes packed."""
    asked = {"since": since, "limit": limit}
    answer = client.get(ENTRIES, params=asked, headers=PACKED if packed else None).raise_for_status()
    assert packed is (answer.headers.get("content-encoding") == "gzip")
    return answer.content


def group_of(folder: Path, devices: Sequence[tuple[str, str]]) -> list[ConnectReply]:
    """Make a group in the folder and connect devices to it, each with its person."""
    services = open_services(Settings(data=folder))
    group = services.connecting.make_group("Hillside (invented)")
    replies = [
        services.connecting.connect(
            ConnectRequest(
                code=services.connecting.invite(group, Role.KEEPER),
                device=device,
                device_name="phone",
                person=person,
                person_name="Keeper",
            )
        )
        for device, person in devices
    ]
    services.database.close()
    return replies


@contextmanager
def listening(app: str, folder: Path) -> Iterator[Listening]:
    """One of the two servers, until the block ends."""
    command = [sys.executable, "-m", "tests.benchmarks.serve", app, str(folder)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin and process.stdout
        try:
            yield Listening(process.stdout.readline().strip(), process.pid)
        finally:
            process.stdin.close()  # it ends by itself then
            process.wait()

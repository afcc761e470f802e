"""A floor and a real Pomeward server, each in a process of its own, and a client that keeps its connection to each."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx

from server.app import open_services
from server.settings import Settings
from shared_models.identifiers import new_id
from shared_models.protocol import API, ConnectRequest
from shared_models.vocabulary import Role

PATIENCE = 60  # seconds for one answer
ENTRIES = "/entries"
_PLAIN = {"Accept-Encoding": "identity"}  # packing is a choice of the caller and would hide what is measured


@dataclass(frozen=True, slots=True)
class Servers:
    """Two clients that speak to `/entries` of two servers."""

    floor: httpx.Client
    pomeward: httpx.Client


@contextmanager
def both_servers(folder: Path) -> Iterator[Servers]:
    """Both listen until the block ends."""
    token, epoch = _member(folder / "pomeward")
    with (
        _listening("floor", folder) as floor_address,
        _listening("pomeward", folder / "pomeward") as address,
        httpx.Client(base_url=floor_address, headers=_PLAIN, timeout=PATIENCE) as floor,
        httpx.Client(
            base_url=address + API,
            headers={**_PLAIN, "Authorization": f"Bearer {token}"},
            params={"epoch": epoch},
            timeout=PATIENCE,
        ) as pomeward,
    ):
        yield Servers(floor, pomeward)


def push_body(bodies: list[str]) -> bytes:
    """Entries as a phone sends them."""
    return f'{{"entries":[{",".join(bodies)}]}}'.encode()


def push(client: httpx.Client, body: bytes) -> httpx.Response:
    """Send a batch; what is not taken is no measure."""
    return client.post(ENTRIES, content=body).raise_for_status()


def pull(client: httpx.Client, since: int, limit: int) -> bytes:
    """Fetch a page."""
    return client.get(ENTRIES, params={"since": since, "limit": limit}).raise_for_status().content


def _member(folder: Path) -> tuple[str, str]:
    """Make a group in the folder and connect a device to it; its token, and the epoch of its numbers."""
    services = open_services(Settings(data=folder))
    group = services.connecting.make_group("Hillside (invented)")
    request = ConnectRequest(
        code=services.connecting.invite(group, Role.KEEPER),
        device=new_id(),
        device_name="phone",
        person=new_id(),
        person_name="Keeper",
    )
    reply = services.connecting.connect(request)
    services.database.close()
    return reply.token, reply.epoch


@contextmanager
def _listening(app: str, folder: Path) -> Iterator[str]:
    command = [sys.executable, "-m", "tests.benchmarks.serve", app, str(folder)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin and process.stdout
        try:
            yield process.stdout.readline().strip()
        finally:
            process.stdin.close()  # it ends by itself then
            process.wait()

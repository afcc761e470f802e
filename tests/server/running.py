"""A real server on a free loopback port, and a caller who speaks HTTP to it. Knows no expectations."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Sequence
from typing import Any

import httpx
import uvicorn
from sqlalchemy import select

from server.app import create_app
from server.database import held_back
from server.database.held_back import HeldBack
from server.database.members import Group
from server.database.tables import RECEIPT
from server.settings import Settings
from shared_models.entries import Entry, canonical_text
from shared_models.identifiers import new_id
from shared_models.protocol import API
from shared_models.vocabulary import Role

SECONDS_TO_START = 20.0


class RunningServer:
    """uvicorn in a thread of the tests; groups and codes are made as the command line makes them."""

    def __init__(self, settings: Settings) -> None:
        self.app = create_app(settings)
        self.services = self.app.state.services
        self._socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        self._socket.bind(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self._socket.getsockname()[1]}"
        self._uvicorn = uvicorn.Server(uvicorn.Config(self.app, log_level="critical", access_log=False))
        self._thread = threading.Thread(target=self._uvicorn.run, kwargs={"sockets": [self._socket]})
        self._callers: list[httpx.Client] = []

    def start(self) -> None:
        """Listen."""
        self._thread.start()
        until = time.monotonic() + SECONDS_TO_START
        while not self._uvicorn.started:
            assert self._thread.is_alive() and time.monotonic() < until, "The server does not start."
            time.sleep(0.01)

    def stop(self) -> None:
        """Stop listening."""
        for caller in self._callers:
            caller.close()
        self._uvicorn.should_exit = True
        self._thread.join()
        self._socket.close()

    def group(self, name: str = "Hillside (invented)") -> Group:
        """A new group."""
        return self.services.connecting.make_group(name)

    def code(self, group: Group, role: Role = Role.KEEPER) -> str:
        """A one-time code."""
        return self.services.connecting.invite(group, role)

    def caller(self, group: Group, role: Role = Role.KEEPER) -> Caller:
        """A device that was connected over HTTP."""
        caller = self.stranger()
        caller.take_token(caller.connect(self.code(group, role)).json()["token"])
        return caller

    def stranger(self) -> Caller:
        """Somebody without a token."""
        http = httpx.Client(base_url=self.url, timeout=60, trust_env=False)
        self._callers.append(http)
        return Caller(http)

    def held_back(self, group: Group) -> list[HeldBack]:
        """What the server holds back of a group."""
        with self.services.database.reading() as connection:
            return held_back.of_group(connection, group.id)

    def receipts(self, group: Group) -> list[tuple[int, int]]:
        """First and last number of what came together, oldest first."""
        numbers = select(RECEIPT.c.first, RECEIPT.c.last).where(RECEIPT.c.group_id == group.id)
        with self.services.database.reading() as connection:
            return [(first, last) for first, last in connection.execute(numbers.order_by(RECEIPT.c.first))]


class Caller:
    """One device that speaks HTTP."""

    def __init__(self, http: httpx.Client) -> None:
        self.http = http
        self._epoch = ""

    def take_token(self, token: str) -> None:
        """Use this token from now on."""
        self.http.headers["Authorization"] = f"Bearer {token}"

    def connect(self, code: str) -> httpx.Response:
        """Trade a code."""
        names = {"device_name": "phone", "person_name": "Ada"}
        return self.post("/connect", json={"code": code, "device": new_id(), "person": new_id(), **names})

    def push(self, entries: Sequence[Entry]) -> list[dict[str, Any]]:
        """Send entries as a phone does, and read the answers."""
        return self.push_texts([canonical_text(entry) for entry in entries])

    def push_texts(self, texts: Sequence[str]) -> list[dict[str, Any]]:
        """Send whatever texts in the places of entries."""
        answer = self.post("/entries", content=body_of(texts))
        assert answer.status_code == 200, answer.text
        results: list[dict[str, Any]] = answer.json()["results"]
        return results

    def pull(self, since: int = 0, limit: int = 2000) -> dict[str, Any]:
        """Fetch a page."""
        answer = self.get("/entries", params={"since": since, "limit": limit})
        assert answer.status_code == 200, answer.text
        page: dict[str, Any] = answer.json()
        return page

    def epoch(self) -> str:
        """The epoch of the group's numbers, asked once."""
        if not self._epoch:
            first = self.http.get(f"{API}/entries", params={"limit": 1})
            self._epoch = first.json().get("epoch", "")
        return self._epoch

    def pulled_ids(self) -> list[str]:
        """The ids of all entries of the group, in order."""
        ids: list[str] = []
        while page := self.pull(len(ids))["items"]:
            ids += [item["entry"]["id"] for item in page]
        return ids

    def get(self, path: str, **more: Any) -> httpx.Response:
        """GET below the API, of entries under the group's epoch."""
        return self.http.get(API + path, **self._dated(path, more))

    def post(self, path: str, **more: Any) -> httpx.Response:
        """POST below the API, of entries under the group's epoch."""
        return self.http.post(API + path, **self._dated(path, more))

    def _dated(self, path: str, more: dict[str, Any]) -> dict[str, Any]:
        if not path.startswith("/entries") or "Authorization" not in self.http.headers:
            return more
        return more | {"params": {"epoch": self.epoch()} | more.get("params", {})}


def body_of(texts: Sequence[str]) -> bytes:
    """The body of a push."""
    return f'{{"entries":[{",".join(texts)}]}}'.encode()

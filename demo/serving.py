"""The group's real server in a process of its own, on this machine only, and a browser that reads its pages.

Knows the command `pomeward` and HTTP; no phone and no season.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import httpx

from demo.environment import ROOT
from server.app import open_services
from server.settings import PREFIX, Settings
from shared_models.protocol import API
from shared_models.vocabulary import Role

_LISTENS = re.compile(r"http://127\.0\.0\.1:\d+")
_PATIENCE = 60  # seconds


class ServerTrouble(Exception):
    """The server did not start; the message holds what it said."""


@dataclass(frozen=True, slots=True)
class GroupServer:
    """A running server with one group; codes are made as its command makes them, beside the running process."""

    address: str
    settings: Settings
    group: str

    def code(self, role: Role = Role.KEEPER) -> str:
        """A fresh one-time code."""
        services = open_services(self.settings)
        try:
            return services.connecting.invite(services.connecting.group(self.group), role)
        finally:
            services.database.close()

    def address_for_browser(self) -> str:
        """A one-time address that makes a browser a reader of the group."""
        return f"{self.address}/connect?code={quote(self.code(Role.VIEWER))}"

    def report_as_json(self, key: str, token: str) -> str:
        """The report of a season as the server answers it to a device."""
        bearer = {"Authorization": f"Bearer {token}"}
        path = f"{self.address}{API}/season/{key.replace('/', '-')}"
        return httpx.get(path, headers=bearer, timeout=_PATIENCE, trust_env=False).raise_for_status().text

    def report_as_text(self, key: str) -> str:
        """The report of a season as the server's own command prints it."""
        command = [sys.executable, "-m", "server", "season", self.group, key]
        printed = subprocess.run(command, env=_told(self.settings), cwd=ROOT, capture_output=True, check=True)
        return printed.stdout.decode()

    def page(self, key: str) -> str:
        """The page of a season, read as a browser reads it: form, cookie, page."""
        with httpx.Client(follow_redirects=True, timeout=_PATIENCE, trust_env=False) as browser:
            browser.get(self.address_for_browser()).raise_for_status()
            form = {"code": self.code(Role.VIEWER), "name": "browser of the demo"}
            here = {"Origin": self.address}
            browser.post(f"{self.address}/connect", data=form, headers=here).raise_for_status()
            return browser.get(f"{self.address}/season/{key.replace('/', '-')}").raise_for_status().text


@contextmanager
def running_server(data: Path, group: str) -> Iterator[GroupServer]:
    """Start the server on a free port and make the group; stopped at the end."""
    settings = Settings(data=data)
    command = [sys.executable, "-m", "server", "serve", "--host", "127.0.0.1", "--port", "0"]
    process = subprocess.Popen(
        command,
        env=_told(settings),
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,  # Ctrl-C in the terminal is for the demo, which then stops the server itself
    )
    try:
        address = _address(process)
        services = open_services(settings)
        services.connecting.make_group(group)
        services.database.close()
        yield GroupServer(address, settings, group)
    finally:
        process.terminate()
        try:
            process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        if process.stdout:
            process.stdout.close()


def _address(process: subprocess.Popen[str]) -> str:
    said = []
    for line in process.stdout or ():
        said.append(line)
        found = _LISTENS.search(line)
        if found:
            return found.group()
    raise ServerTrouble("The server did not start. It said:\n" + "".join(said))


def _told(settings: Settings) -> dict[str, str]:
    """The environment of the command: its data folder, and nothing that was set for another server."""
    own = {name: value for name, value in os.environ.items() if not name.startswith(PREFIX)}
    return {**own, f"{PREFIX}DATA": str(settings.data.resolve()), "PYTHONIOENCODING": "utf-8"}

"""A private PostgreSQL for tests: its own cluster in a new folder, stopped and removed at the end.

Knows nothing of the project. It listens on a Unix socket inside that folder and nowhere else, so there is no port
to collide on. PostgreSQL refuses to run as root; for root it runs as the user `postgres`, else `nobody`.
"""

from __future__ import annotations

import itertools
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

import psycopg

from tests.system_packages import postgres_binaries

# Durability stays at its defaults: a test that relies on a commit should meet the real thing.
# Text is ordered as people order it, as on most real servers: a query that counts on byte order fails here.
CLUSTER = ("--username=postgres", "--auth=trust", "--encoding=UTF8", "--locale=C")
ORDER = ("--locale-provider=icu", "--icu-locale=en-US")
SETTINGS = {
    "listen_addresses": "",
    "unix_socket_permissions": "0700",
    "max_connections": "100",
    "shared_buffers": "32MB",
    "autovacuum_naptime": "10min",
    "timezone": "UTC",
}
SECONDS_TO_START = 60.0
SECONDS_TO_STOP = 30.0


class PostgresTrouble(Exception):
    """The private PostgreSQL could not be made or started; the message carries its own last words."""


class PrivatePostgres:
    """`with PrivatePostgres() as postgres:` gives a running server that nobody else uses."""

    def __init__(self) -> None:
        self._numbers = itertools.count(1)
        self._process: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        self._binaries = _binaries()
        self.folder = Path(tempfile.mkdtemp(prefix="pomeward-pg-"))
        try:
            self._make_cluster()
            self._start()
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()

    @property
    def url(self) -> str:
        """The SQLAlchemy address of the database that every cluster has."""
        return self._url_of("postgres")

    @property
    def pid(self) -> int:
        """The process id of the server."""
        assert self._process is not None, "The private PostgreSQL is not running."
        return self._process.pid

    def new_database(self) -> str:
        """Make an empty database and return its SQLAlchemy address."""
        name = f"test_{next(self._numbers)}"
        with self._connect() as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return self._url_of(name)

    def stop(self) -> None:
        """End the server, its own process only, and remove the folder; harmless when done before."""
        if self._process is not None:
            _end(self._process)
            self._process = None
        shutil.rmtree(self.folder, ignore_errors=True)

    def _url_of(self, database: str) -> str:
        return f"postgresql+psycopg://postgres@/{database}?host={self.folder}"

    def _connect(self) -> psycopg.Connection:
        return psycopg.connect(host=str(self.folder), user="postgres", dbname="postgres", autocommit=True)

    def _make_cluster(self) -> None:
        _give_to_server_user(self.folder)
        answer = subprocess.run(
            [*_as_server_user(), str(self._binaries / "initdb"), *CLUSTER, *ORDER, "-D", str(self._data)],
            cwd=self.folder,
            env=self._surroundings(),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if answer.returncode != 0:
            raise PostgresTrouble(f"initdb failed:\n{answer.stdout[-2000:]}")

    def _start(self) -> None:
        settings = [part for name, value in SETTINGS.items() for part in ("-c", f"{name}={value}")]
        command = [str(self._binaries / "postgres"), "-D", str(self._data), "-k", str(self.folder), *settings]
        with self._log.open("wb") as log:
            self._process = subprocess.Popen(
                [*_as_server_user(), *command],
                cwd=self.folder,
                env=self._surroundings(),
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,  # a Ctrl-C meant for the tests must not reach it before they are done
            )
        self._wait_until_it_answers(self._process)

    def _wait_until_it_answers(self, process: subprocess.Popen[bytes]) -> None:
        until = time.monotonic() + SECONDS_TO_START
        while time.monotonic() < until and process.poll() is None:
            try:
                self._connect().close()
                return
            except psycopg.OperationalError:
                time.sleep(0.05)
        raise PostgresTrouble(f"PostgreSQL did not start:\n{self._log.read_text()[-2000:]}")

    def _surroundings(self) -> dict[str, str]:
        """No PG* variable of the caller's may reach into the private server."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("PG")}
        return {**kept, "HOME": str(self.folder), "LC_ALL": "C"}

    @property
    def _data(self) -> Path:
        return self.folder / "data"

    @property
    def _log(self) -> Path:
        return self.folder / "log"


def _binaries() -> Path:
    found = postgres_binaries()
    if found is None:
        raise PostgresTrouble("PostgreSQL is not installed; python3 tests/run.py says how to install it.")
    return found


def _server_user() -> pwd.struct_passwd | None:
    """The user that the server runs as; None when that is simply the user who runs the tests."""
    if os.geteuid() != 0:
        return None
    for name in ("postgres", "nobody"):
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    raise PostgresTrouble(
        "PostgreSQL refuses to run as root, and there is neither a user postgres nor nobody."
    )


def _as_server_user() -> Sequence[str]:
    """The start of a command line that runs as that user and ends with the tests, however they end."""
    user = _server_user()
    change = [f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups"] if user else []
    setpriv = shutil.which("setpriv")
    if setpriv:
        return [setpriv, *change, "--pdeathsig", "INT", "--"]
    if user:
        raise PostgresTrouble(
            "setpriv is missing (package util-linux): it starts PostgreSQL as another user than root."
        )
    return []


def _give_to_server_user(folder: Path) -> None:
    user = _server_user()
    if user:
        os.chown(folder, user.pw_uid, user.pw_gid)


def _end(process: subprocess.Popen[bytes]) -> None:
    """Ask for a fast shutdown, then for an immediate one."""
    for way in (signal.SIGINT, signal.SIGQUIT, signal.SIGKILL):
        if process.poll() is not None:
            return
        process.send_signal(way)
        try:
            process.wait(SECONDS_TO_STOP)
        except subprocess.TimeoutExpired:
            continue

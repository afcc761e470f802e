"""The private PostgreSQL of the tests: real, alone, and gone afterwards."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine, text

from tests.postgres import SETTINGS, PostgresTrouble, PrivatePostgres

pytestmark = pytest.mark.needs_postgres


def answer(url: str, question: str) -> Any:
    """The single value that a database answers."""
    engine = create_engine(url)
    try:
        with engine.begin() as connection:
            return connection.execute(text(question)).scalar()
    finally:
        engine.dispose()


def run(url: str, statement: str) -> None:
    """Execute one statement and commit."""
    engine = create_engine(url)
    with engine.begin() as connection:
        connection.execute(text(statement))
    engine.dispose()


def is_running(pid: int) -> bool:
    """Whether a process exists and is not just waiting to be collected by its parent."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"


def test_it_is_a_postgresql_of_15_or_newer_that_keeps_its_durability(postgres):
    assert int(answer(postgres.url, "SHOW server_version_num")) >= 150000
    assert answer(postgres.url, "SHOW fsync") == "on"
    assert answer(postgres.url, "SHOW synchronous_commit") == "on"


def test_it_listens_on_no_network_port(postgres):
    assert answer(postgres.url, "SHOW listen_addresses") == ""


def test_two_new_databases_do_not_see_each_other(postgres):
    one, other = postgres.new_database(), postgres.new_database()
    run(one, "CREATE TABLE tree (label text)")
    question = "SELECT count(*) FROM information_schema.tables WHERE table_name = 'tree'"
    assert answer(one, question) == 1
    assert answer(other, question) == 0


def test_text_is_ordered_as_people_order_it_so_that_reliance_on_bytes_shows(postgres):
    assert (
        answer(postgres.url, "SELECT string_agg(t, '' ORDER BY t) FROM (VALUES ('B'), ('a')) AS v(t)") == "aB"
    )


def test_nothing_is_left_behind_after_the_block():
    with PrivatePostgres() as server:
        pid, folder = server.pid, server.folder
        assert is_running(pid)
        assert (folder / "data" / "PG_VERSION").exists()
    assert not is_running(pid)
    assert not folder.exists()


def test_a_failing_block_leaves_nothing_behind_either():
    with pytest.raises(ZeroDivisionError), PrivatePostgres() as server:
        pid, folder = server.pid, server.folder
        raise ZeroDivisionError
    assert not is_running(pid)
    assert not folder.exists()


def test_a_server_that_cannot_start_says_why_and_leaves_nothing(monkeypatch):
    monkeypatch.setitem(SETTINGS, "shared_buffers", "nonsense")
    server = PrivatePostgres()
    with pytest.raises(PostgresTrouble, match="shared_buffers"), server:
        pass
    assert not server.folder.exists()


def test_the_server_ends_when_the_tests_are_killed():
    program = (
        "import time\nfrom tests.postgres import PrivatePostgres\n"
        "server = PrivatePostgres().__enter__()\nprint(server.pid, server.folder, flush=True)\ntime.sleep(600)"
    )
    tests = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
    assert tests.stdout is not None
    pid, folder = tests.stdout.readline().split()
    os.kill(tests.pid, signal.SIGKILL)
    tests.wait()
    tests.stdout.close()
    until = time.monotonic() + 30
    while is_running(int(pid)) and time.monotonic() < until:
        time.sleep(0.05)
    assert not is_running(int(pid))
    shutil.rmtree(folder)

"""Backups: made while people push, put back into either database, what is in the way moved aside."""

from __future__ import annotations

import json
import stat
import threading
import zipfile
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text

from server.database.engine import open_database
from server.database.entries import counter_of
from server.database.kept_tables import KEPT, KeptTable
from server.services import audit
from server.services.archive import read_archive, write_archive
from server.services.backups import back_up, restore
from server.services.check import check
from server.services.connecting import Connecting
from server.settings import Settings
from shared_models.errors import BadInputError, NotAllowedError, StoreError
from tests.builders import FieldPhone
from tests.server.conftest import BOTH
from tests.server.database.earlier import GROUP, used_before
from tests.server.running import RunningServer

WHO = "command of ada"


@pytest.fixture(params=BOTH)
def elsewhere(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of another database, empty, once of each kind."""
    if request.param == "SQLite":
        return f"sqlite:///{tmp_path / 'elsewhere' / 'server.sqlite'}"
    return request.getfixturevalue("postgres").new_database()


def filled(server: RunningServer) -> tuple:
    """A group with entries, a device that pushed them, something held back, and a neighbour group."""
    hill, valley = server.group("Hill (invented)"), server.group("Valley (invented)")
    keeper, phone = server.caller(hill), FieldPhone()
    garden = phone.garden("Zoë’s “hill” \U0001f34e")
    keeper.push([garden, *(phone.tree(garden, str(n)) for n in range(30))])
    keeper.push_texts(['{"id":"01", "kind":"x"}', "17"])
    server.caller(valley).push([FieldPhone().garden()])
    return hill, keeper


def rows_of(url: str, table: str, *but: str) -> list:
    """The rows of a table, without some columns."""
    engine = create_engine(url)
    with engine.connect() as connection:
        found = [
            {name: value for name, value in row.items() if name not in but}
            for row in connection.execute(text(f"SELECT * FROM {table}")).mappings()
        ]
    engine.dispose()
    return sorted(
        [
            {name: bytes(value) if isinstance(value, memoryview) else value for name, value in row.items()}
            for row in found
        ],
        key=repr,
    )


def test_what_cannot_be_made_again_comes_back_into_either_database(
    either_server, either_settings, elsewhere, tmp_path
):
    hill, _ = filled(either_server)
    listed = back_up(either_server.services.database, tmp_path / "backup.zip", WHO)
    assert listed.count("entry") == 32 and listed.count("held_back") == 2 and listed.count("device") == 2
    restore(elsewhere, tmp_path / "backup.zip", WHO)
    for table in ("grower_group", "entry", "receipt", "device", "held_back"):
        assert rows_of(elsewhere, table) == rows_of(either_settings.database, table) != []
    for name in ("seq", "digest"):
        assert [row[name] for row in rows_of(elsewhere, "group_counter", "epoch")] == [
            row[name] for row in rows_of(either_settings.database, "group_counter", "epoch")
        ]
    database = open_database(elsewhere)
    assert all(one.well for one in check(database, hill))
    with database.reading() as connection:
        counter = counter_of(connection, hill.id)
    with either_server.services.database.reading() as connection:
        before = counter_of(connection, hill.id)
    assert counter.recovering and counter.epoch != before.epoch and counter.digest == before.digest
    lines = audit.told(database, hill.id)
    assert any("connected" in line for line in lines) and f"{WHO}  restored a backup" in lines[-1]
    Connecting(database, b"key").make_group("another, so that numbers of lines go on")
    database.close()


def test_the_file_is_private_whole_and_holds_no_code(server, hill, tmp_path):
    code = server.code(hill)
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    assert stat.S_IMODE((tmp_path / "backup.zip").stat().st_mode) == 0o600
    with zipfile.ZipFile(tmp_path / "backup.zip") as packed:
        assert packed.testzip() is None and "invitation.ndjson" not in packed.namelist()
        everything = b"".join(packed.read(name) for name in packed.namelist())
    assert code.encode() not in everything
    assert [file.name for file in tmp_path.glob("backup*")] == ["backup.zip"]


def test_a_file_that_is_there_is_not_written_over(server, tmp_path):
    (tmp_path / "backup.zip").write_text("precious")
    with pytest.raises(BadInputError, match="left as it is"):
        back_up(server.services.database, tmp_path / "backup.zip", WHO)
    assert (tmp_path / "backup.zip").read_text() == "precious" and len(list(tmp_path.glob("backup*"))) == 1
    with pytest.raises(BadInputError, match="could not be written"):
        back_up(server.services.database, tmp_path / "nowhere" / "backup.zip", WHO)


def test_a_backup_is_of_one_moment_while_others_push(either_server, tmp_path):
    hill = either_server.group("Hill (invented)")
    keeper, phone = either_server.caller(hill), FieldPhone()
    ended = threading.Event()

    def pushes() -> None:
        while not ended.is_set():
            garden = phone.garden()
            keeper.push([garden, *(phone.tree(garden, str(n)) for n in range(50))])

    pusher = threading.Thread(target=pushes)
    pusher.start()
    try:
        for number in range(4):
            file = tmp_path / f"{number}.zip"
            back_up(either_server.services.database, file, WHO)
            rows = {table.name: list(table.rows) for table in read_archive(file).tables()}
            (counter,) = rows["group_counter"]
            assert sorted(row["seq"] for row in rows["entry"]) == list(range(1, counter["seq"] + 1))
            assert max((row["last"] for row in rows["receipt"]), default=0) == counter["seq"]
    finally:
        ended.set()
        pusher.join()


def test_where_something_is_there_it_takes_a_yes_and_is_moved_aside(settings, tmp_path):
    server = RunningServer(settings)
    server.start()
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    before = rows_of(settings.database, "entry")
    server.stop()
    file = settings.data / "server.sqlite"
    content = file.read_bytes()
    with pytest.raises(BadInputError, match="with 2 groups"):
        restore(settings.database, tmp_path / "backup.zip", WHO)
    assert file.read_bytes() == content
    done = restore(settings.database, tmp_path / "backup.zip", WHO, sure=True)
    assert rows_of(f"sqlite:///{done.aside}", "entry") == before == rows_of(settings.database, "entry")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert sorted(one.name for one in settings.data.glob("server.sqlite*")) == ["server.sqlite"]


@pytest.mark.needs_postgres
def test_on_postgresql_it_is_moved_to_a_schema_of_its_own(postgres, tmp_path):
    settings = Settings(data=tmp_path / "data", database_url=postgres.new_database())
    server = RunningServer(settings)
    server.start()
    _, keeper = filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    keeper.push([FieldPhone().garden()])
    for times in (1, 2):
        done = restore(settings.database, tmp_path / "backup.zip", WHO, sure=True)
        engine = create_engine(settings.database)
        with engine.connect() as connection:
            kept = connection.execute(text(f"SELECT count(*) FROM {done.aside}.entry")).scalar()
            here = connection.execute(text("SELECT count(*) FROM entry")).scalar()
            assert (kept, here) == (33 if times == 1 else 32, 32)
            assert "audit" in inspect(connection).get_table_names(done.aside)
        engine.dispose()
    # A server that went on meanwhile tells its phones to start over; nothing is taken under the old numbers.
    answer = keeper.http.post("/api/v1/entries", params={"epoch": keeper.epoch()}, json={"entries": []})
    assert answer.status_code == 409
    server.stop()


@pytest.mark.needs_postgres
def test_a_user_who_may_not_move_it_aside_is_told(postgres, server, tmp_path):
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    url = postgres.new_database()
    owner = create_engine(url)
    with owner.begin() as connection:
        connection.execute(text("CREATE ROLE gardener LOGIN"))
        connection.execute(text("GRANT ALL ON SCHEMA public TO gardener"))
    owner.dispose()
    as_gardener = url.replace("postgres@", "gardener@")
    restore(as_gardener, tmp_path / "backup.zip", WHO)
    before = rows_of(as_gardener, "group_counter")
    with pytest.raises(NotAllowedError, match="may not make a schema"):
        restore(as_gardener, tmp_path / "backup.zip", WHO, sure=True)
    assert rows_of(as_gardener, "group_counter") == before


def test_while_a_server_runs_on_the_file_nothing_is_changed(server, settings, tmp_path):
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    before = rows_of(settings.database, "entry")
    with pytest.raises(NotAllowedError, match="server is running"):
        restore(settings.database, tmp_path / "backup.zip", WHO, sure=True)
    assert rows_of(settings.database, "entry") == before
    assert (
        [one.name for one in settings.data.glob("*before*")]
        == []
        == [one.name for one in settings.data.glob("*new*")]
    )
    assert (
        server.caller(server.group("later (invented)")).push([FieldPhone().garden()])[0]["state"] == "shared"
    )


@pytest.mark.parametrize("content", [b"no database at all" * 100, b"SQLite format 3\0" + b"\x10" * 4080])
def test_a_database_that_cannot_be_read_is_moved_aside_with_its_journal(
    server, settings, tmp_path, content: bytes
):
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    damaged = tmp_path / "damaged"
    damaged.mkdir()
    (damaged / "server.sqlite").write_bytes(content)
    (damaged / "server.sqlite-wal").write_bytes(b"of the damaged one")
    url = f"sqlite:///{damaged / 'server.sqlite'}"
    with pytest.raises(BadInputError, match="or a damaged one"):
        restore(url, tmp_path / "backup.zip", WHO)
    done = restore(url, tmp_path / "backup.zip", WHO, sure=True)
    assert done.unread and Path(done.aside).read_bytes() == content
    assert len(rows_of(url, "entry")) == 32


def damaged_copies(file: Path, folder: Path) -> list[Path]:
    """Backups with one fault each."""
    whole = file.read_bytes()
    with zipfile.ZipFile(file) as packed:
        members = {name: packed.read(name) for name in packed.namelist()}
    listed = json.loads(members["list.json"])
    changes: dict[str, bytes | dict[str, bytes]] = {
        "half": whole[: len(whole) // 2],
        "empty": b"",
        "no zip": b"PK" + b"x" * 500,
        "no list": {name: data for name, data in members.items() if name != "list.json"},
        "a row less": members
        | {"entry.ndjson": b"\n".join(members["entry.ndjson"].splitlines()[:-1]) + b"\n"},
        "a letter": members | {"entry.ndjson": members["entry.ndjson"].replace(b"garden", b"gardem", 1)},
        "no entries": {name: data for name, data in members.items() if name != "entry.ndjson"},
        "another table": members
        | {
            "list.json": json.dumps(
                listed | {"tables": [listed["tables"][0] | {"name": "sqlite_master"}]}
            ).encode()
        },
        "another format": members | {"list.json": json.dumps(listed | {"format": 2}).encode()},
        "a flipped byte": whole[:200] + bytes([whole[200] ^ 255]) + whole[201:],
    }
    made = []
    for name, content in changes.items():
        made.append(folder / f"{name}.zip")
        if isinstance(content, bytes):
            made[-1].write_bytes(content)
        else:
            with zipfile.ZipFile(made[-1], "w") as packed:
                for member, data in content.items():
                    packed.writestr(member, data)
    return made


def test_a_damaged_backup_is_refused_before_anything_is_touched(server, tmp_path):
    filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    url = f"sqlite:///{tmp_path / 'other' / 'server.sqlite'}"
    for file in [*damaged_copies(tmp_path / "backup.zip", tmp_path), tmp_path / "nowhere.zip", tmp_path]:
        with pytest.raises(BadInputError, match="no whole backup"):
            restore(url, file, WHO, sure=True)
    assert not (tmp_path / "other").exists()


def test_a_backup_of_a_newer_server_is_refused(server, tmp_path, settings):
    write_archive(tmp_path / "newer.zip", "9999", "2030-01-01T00:00:00.000Z", [])
    url = f"sqlite:///{tmp_path / 'server.sqlite'}"
    with pytest.raises(StoreError, match="newer Pomeward server"):
        restore(url, tmp_path / "newer.zip", WHO)
    assert not list(tmp_path.glob("server.sqlite*"))


def test_a_backup_of_an_earlier_server_is_brought_up_to_this_one(elsewhere, tmp_path):
    bodies = used_before(f"sqlite:///{tmp_path / 'first.sqlite'}")
    engine = create_engine(f"sqlite:///{tmp_path / 'first.sqlite'}")
    with engine.connect() as connection:
        tables = [
            KeptTable(
                name, tuple(rows[0]), [{**row, "aside": False} if "aside" in row else row for row in rows]
            )
            for name in ("grower_group", "group_counter", "entry", "receipt", "device")
            if (rows := [dict(row) for row in connection.execute(text(f"SELECT * FROM {name}")).mappings()])
        ]
    engine.dispose()
    write_archive(tmp_path / "earlier.zip", "0001", "2026-09-12T10:00:00.000Z", tables)
    restore(elsewhere, tmp_path / "earlier.zip", WHO)
    database = open_database(elsewhere)
    group = Connecting(database, b"key").group(GROUP)
    assert all(one.well for one in check(database, group))
    with database.reading() as connection:
        assert counter_of(connection, GROUP).newest == len(bodies)
    database.close()


def test_a_device_that_was_disconnected_since_stays_so(settings, tmp_path):
    server = RunningServer(settings)
    server.start()
    hill, keeper = filled(server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    (device,) = server.services.connecting.devices(hill)
    server.services.connecting.revoke(hill, device.id, WHO)
    token = keeper.http.headers["Authorization"].removeprefix("Bearer ")
    server.stop()
    restore(settings.database, tmp_path / "backup.zip", WHO, sure=True)
    database = open_database(settings.database)
    with pytest.raises(NotAllowedError):
        Connecting(database, b"key").device_of(token)
    database.close()


def test_every_table_that_is_not_state_is_kept_or_left_out_knowingly():
    from server.database.tables import INVITATION, PRIVATE, STATE_SHAPE
    from shared_models.store.tables import SHARED_TABLES, STATE_TABLES

    everything = {*PRIVATE.tables.values(), *SHARED_TABLES}
    assert everything - set(KEPT) == {INVITATION, STATE_SHAPE, *STATE_TABLES}

"""Tables that are made, taken over and changed: the same in the end, whoever began, and nothing is lost on the way."""

from __future__ import annotations

import hashlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import Engine, create_engine, select, text

from server.database import upgrading
from server.database.engine import open_database
from server.database.entries import counter_of, page
from server.database.season import bring_up_to_log
from server.database.tables import DEVICE, GROUP, GROUP_COUNTER, INVITATION, PRIVATE, RECEIPT, STATE_SHAPE
from server.database.upgrading import NEWEST, STEPS, version_of
from server.settings import Settings
from shared_models.digest import NOTHING, added
from shared_models.errors import StoreError
from shared_models.store.tables import ENTRY, MARK, RECORD, SHARED_TABLES
from tests.server.database.earlier import FIRST, first_tables, schema_of, used_before
from tests.server.database.earlier import GROUP as HILL
from tests.server.process import ServerProcess

AT_ONCE = 6


@pytest.fixture
def engine(either_settings: Settings):
    """A connection of the test's own to the database, which is empty."""
    either_settings.data.mkdir(parents=True, exist_ok=True)
    engine = create_engine(either_settings.database)
    yield engine
    engine.dispose()


def opened(settings: Settings) -> None:
    """Open and close."""
    open_database(settings.database).close()


def as_declared(engine: Engine, settings: Settings, name: str, request) -> dict:
    """The schema of a database that is made of today's table classes alone."""
    url = f"sqlite:///{settings.data / name}"
    if engine.dialect.name == "postgresql":
        url = request.getfixturevalue("postgres").new_database()
    plain = create_engine(url)
    ENTRY.metadata.create_all(plain, tables=SHARED_TABLES)
    PRIVATE.create_all(plain)
    with plain.begin() as connection:
        connection.execute(text("CREATE INDEX entry_changing ON entry (group_id, rec) WHERE rec <> id"))
    found = schema_of(plain)
    plain.dispose()
    return found


def test_a_new_database_is_what_the_table_classes_say(engine, either_settings, request):
    opened(either_settings)
    assert schema_of(engine) == as_declared(engine, either_settings, "declared.sqlite", request)


def test_a_database_from_before_the_steps_becomes_the_same(engine, either_settings, request):
    used_before(either_settings.database)
    opened(either_settings)
    assert schema_of(engine) == as_declared(engine, either_settings, "declared.sqlite", request)


def test_what_was_in_it_is_in_it(engine, either_settings):
    bodies = used_before(either_settings.database)
    database = open_database(either_settings.database)
    with database.writing() as connection:
        assert [body for _, body in page(connection, HILL, 0, 2000).entries] == bodies
        counter = counter_of(connection, HILL)
        assert counter.newest == len(bodies) and len(counter.epoch) == 16 and not counter.recovering
        hashes = [hashlib.sha256(body.encode()).hexdigest() for body in bodies]
        assert counter.digest == added(NOTHING, hashes)
        for table in (GROUP, DEVICE, INVITATION, RECEIPT):
            assert len(connection.execute(select(table)).all()) == 1
        assert bring_up_to_log(connection, HILL) == len(bodies)
        assert len(connection.execute(select(MARK)).all()) == len(bodies) - 3
    database.close()


def test_a_first_start_that_was_broken_off_is_mended(engine, either_settings):
    """Tables were once made one after the other, so a start that was killed left some of them."""
    with engine.begin() as connection:
        first_tables(connection)
        for table in ("held_back", "group_counter", "record", "receipt"):
            connection.execute(text(f"DROP TABLE {table}"))
    opened(either_settings)
    assert set(schema_of(engine)) == {table.name for table in (*SHARED_TABLES, *PRIVATE.tables.values())}


def test_twice_changes_nothing(engine, either_settings):
    opened(either_settings)
    before = schema_of(engine)
    opened(either_settings)
    assert schema_of(engine) == before
    with engine.connect() as connection:
        assert version_of(connection) == NEWEST


def test_the_newest_step_is_the_one_that_is_named():
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(STEPS))
    assert ScriptDirectory.from_config(config).get_heads() == [NEWEST]


def test_a_database_of_a_newer_server_is_refused_and_left(engine, either_settings):
    opened(either_settings)
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
        connection.execute(text("ALTER TABLE grower_group ADD COLUMN motto VARCHAR"))
    before = schema_of(engine)
    with pytest.raises(StoreError, match="newer Pomeward server") as refusal:
        opened(either_settings)
    assert "left as it is" in str(refusal.value) and "9999" in str(refusal.value)
    assert schema_of(engine) == before


def test_many_that_start_at_once_make_it_once(engine, either_settings):
    bodies = used_before(either_settings.database)
    with ThreadPoolExecutor(AT_ONCE) as threads:
        for done in [threads.submit(opened, either_settings) for _ in range(AT_ONCE)]:
            done.result()
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [(NEWEST,)]
        assert len(connection.execute(select(STATE_SHAPE)).all()) == 1
        assert len(connection.execute(select(ENTRY.c.id)).all()) == len(bodies)


def test_processes_that_start_at_once_make_it_once(engine, either_settings):
    bodies = used_before(either_settings.database, 2000)
    process = ServerProcess(either_settings, port=0)
    begun = [process.begin("groups") for _ in range(3)]
    assert {one.communicate(timeout=60)[0] for one in begun} == {f"{HILL}  Hill (invented)\n"}
    assert {one.returncode for one in begun} == {0}
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [(NEWEST,)]
        assert len(connection.execute(select(ENTRY.c.id)).all()) == len(bodies)


def test_state_of_another_shape_is_thrown_away_and_folded_anew(engine, either_settings):
    bodies = used_before(either_settings.database)
    database = open_database(either_settings.database)
    with database.writing() as connection:
        bring_up_to_log(connection, HILL)
        before = connection.execute(select(RECORD)).all(), connection.execute(select(MARK)).all()
    database.close()
    with engine.begin() as connection:
        connection.execute(STATE_SHAPE.update().values(shape="of an earlier server"))
        connection.execute(
            text(
                "ALTER TABLE record DROP COLUMN owner"
                if engine.dialect.name != "sqlite"
                else "DROP TABLE record"
            )
        )
    database = open_database(either_settings.database)
    with database.writing() as connection:
        assert connection.execute(select(GROUP_COUNTER.c.folded)).scalar() == 0
        assert bring_up_to_log(connection, HILL) == len(bodies)
        assert (connection.execute(select(RECORD)).all(), connection.execute(select(MARK)).all()) == before
    database.close()


def test_a_step_that_fails_leaves_everything_as_it_was(engine, either_settings, monkeypatch):
    used_before(either_settings.database)
    before = schema_of(engine)

    def fails(_: object) -> None:
        raise RuntimeError("The power went.")

    monkeypatch.setattr(upgrading, "renew_state", fails)
    with pytest.raises(RuntimeError):
        opened(either_settings)
    assert schema_of(engine) == before
    with engine.connect() as connection:
        assert version_of(connection) is None
    monkeypatch.undo()
    opened(either_settings)


def test_the_first_tables_are_those_that_the_first_step_makes(engine):
    """The text beside this test was taken from a server of that time; a step that was released never changes."""
    step = (STEPS / "versions" / "s0001_first_tables.py").read_text()
    made = {line.split()[2] for line in FIRST.splitlines() if line.startswith("CREATE TABLE")}
    assert {table for table in made if f'"{table}"' in step} == made - {"record", "mark", "touched"}


def test_a_folder_with_odd_letters_is_no_hindrance(tmp_path: Path):
    opened(Settings(data=tmp_path / "100 % of Zoë's data"))

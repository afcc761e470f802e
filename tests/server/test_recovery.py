"""After a backup was put back: phones make the server whole again, and the commands say what is to be done."""

from __future__ import annotations

import shutil
import sqlite3

from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.engine import exchange
from mobile.sync.remote_server import RemoteServer
from server.services import audit
from server.services.backups import back_up, recovered, restore
from server.services.check import check
from shared_models.vocabulary import Role
from tests.mobile.phones import mark, picking_visit, total
from tests.server.process import ServerProcess
from tests.server.running import RunningServer

WHO = "command of ada"


def share(store: PhoneStore, server: RunningServer) -> None:
    """One exchange of a connected phone."""
    member = store.membership.current()
    assert member
    with RemoteServer(server.url, member.token) as remote:
        exchange(store, remote)


def test_phones_make_a_server_whole_that_was_put_back(either_settings, tmp_path):
    """What was shared after the backup comes back, also what was recorded on a phone that is gone by then."""
    server = RunningServer(either_settings)
    server.start()
    hill = server.group("Hill (invented)")
    stores = [PhoneStore(tmp_path / f"{name}.db") for name in ("gone", "stays", "looks")]
    gone, stays, looks = stores
    for store, role in zip(stores, (Role.KEEPER, Role.KEEPER, Role.VIEWER), strict=True):
        store.begin("Ada", "Europe/Rome")
        connect(server.url, server.code(hill, role), store, "phone")
    visit = picking_visit(gone)
    share(gone, server)
    back_up(server.services.database, tmp_path / "backup.zip", WHO)
    for _ in range(5):
        mark(gone, visit)
    share(gone, server)
    share(looks, server)
    gone.close()
    server.stop()

    restore(either_settings.database, tmp_path / "backup.zip", WHO, sure=True)
    server = RunningServer(either_settings)
    server.start()
    share(looks, server)  # it may only look, and brings back what it had seen
    share(stays, server)
    assert total(stays, visit) == total(looks, visit) == 5
    services = server.services
    assert all(one.well for one in check(services.database, hill))
    assert recovered(services.database, hill, WHO) and not recovered(services.database, hill, WHO)
    assert audit.told(services.database, hill.id)[-1].endswith(f"{WHO}  ended the recovery  {hill.id}")
    server.stop()
    for store in (stays, looks):
        store.close()


def test_the_commands_say_what_they_did(settings, tmp_path):
    process = ServerProcess(settings, port=0)
    process.run("group", "Hill")
    said = process.run("backup", str(tmp_path / "backup.zip"))
    assert "holds 1 group with 0 entries" in said and "tls.key" not in said
    refused = process.attempt("restore", str(tmp_path / "backup.zip"))
    assert refused.returncode == 1 and "--yes" in refused.stderr and len(refused.stderr.splitlines()) == 1
    said = process.run("restore", str(tmp_path / "backup.zip"), "--yes")
    assert "What was there is kept as" in said and "pomeward recovered GROUP" in said
    assert process.run("recovered", "Hill") == "The recovery of “Hill” is over."
    assert "was not recovering" in process.run("recovered", "Hill")
    assert "made a backup" not in process.run("audit", "Hill") and "restored a backup" in process.run("audit")
    with sqlite3.connect(settings.data / "server.sqlite") as file:
        file.execute("UPDATE group_counter SET seq = 3")
    file.close()
    wrong = process.attempt("check", "Hill")
    assert wrong.returncode == 1 and "WRONG: 0 entries; these numbers are missing: 1–3." in wrong.stdout
    shutil.rmtree(settings.data)
    assert "Put back 0 entries" in process.run("restore", str(tmp_path / "backup.zip"))

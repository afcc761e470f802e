"""A recovery that is stopped anywhere goes on at the next start; two that begin at once are one."""

import os
import random
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from tests.mobile.storage import damage
from tests.mobile.storage.damage import Stopped

ROOT = Path(__file__).parents[3]

_STOPPED_AT_EACH_RENAMING = """
import os, sys
from pathlib import Path
from mobile.storage.phone_store import PhoneStore
real = os.replace
for number, folder in enumerate(sys.argv[1:]):
    child = os.fork()
    if child == 0:
        left = number
        def replace(old, new):
            global left
            if "unsent" not in str(new):
                if left == 0:
                    os._exit(9)
                left -= 1
            real(old, new)
        os.replace = replace
        PhoneStore(Path(folder) / "phone.db").close()
        os._exit(0)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_a_phone_stopped_while_files_change_places_goes_on_where_it_was(
    whole: Stopped, tmp_path: Path
) -> None:
    """Stopped before each single renaming of the recovery, and once not at all."""
    spoilt = [whole.in_folder(tmp_path / str(number)) for number in range(6)]
    for stopped in spoilt:
        with stopped.file.open("r+b") as file:
            file.truncate(9000)
    command = [sys.executable, "-c", _STOPPED_AT_EACH_RENAMING, *(str(stopped.folder) for stopped in spoilt)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["9"] * 5 + ["0"]
    for stopped in spoilt:
        now, store = stopped.again()
        assert now.entries == whole.before.entries and now.tallies == whole.before.tallies
        (saved,) = store.safe_keeping.saved()
        assert saved.kept_as and (stopped.folder / saved.kept_as).stat().st_size == 9000
        store.close()


def test_two_windows_that_meet_the_damage_at_once_put_it_in_order_once(stopped: Stopped) -> None:
    damage.spoil_head(stopped.file, random.Random(1))
    damage.cut_short(stopped.file, random.Random(1))
    program = (
        "import sys, pathlib; from mobile.storage.phone_store import PhoneStore as P; from tests.mobile.phones import mark;"
        "print('ready', flush=True); input(); store = P(pathlib.Path(sys.argv[1])); mark(store, sys.argv[2]); store.close()"
    )
    command = [sys.executable, "-c", program, str(stopped.file), stopped.visit]
    pipe = subprocess.PIPE
    windows = [
        subprocess.Popen(command, cwd=ROOT, text=True, stdin=pipe, stdout=pipe, stderr=pipe) for _ in range(2)
    ]
    for window in windows:
        assert window.stdout is not None and window.stdout.readline() == "ready\n"
    for window in windows:
        assert window.stdin is not None
        window.stdin.write("\n")
        window.stdin.flush()
    for window in windows:
        _, complaint = window.communicate(timeout=60)
        assert window.returncode == 0, complaint
    now, store = stopped.again()
    assert set(now.entries) > set(stopped.before.entries)
    assert len(now.entries) == len(stopped.before.entries) + 2
    assert len(store.safe_keeping.saved()) == 1
    store.close()
    assert (
        len([path for path in stopped.folder.iterdir() if path.name.endswith("damaged-" + str(date.today()))])
        == 1
    )

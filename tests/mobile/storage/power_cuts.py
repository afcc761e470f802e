"""Cut the power of a phone at work, again and again, and look what a start afterwards still finds.

    python -m tests.mobile.storage.power_cuts --cuts 1000
    python -m tests.mobile.storage.power_cuts --cuts 200 --synchronous NORMAL

The phone's own code records, takes pages, moves its journal into its file and closes, on a disk that forgets what was
not flushed (`cut_disk.py`), with the settings of `mobile/storage/database.py` or with another `synchronous` as a
control. What a cut leaves is opened with Python's own SQLite, as a phone does. The list of what was not shared, which
does not lie on that disk, is not there afterwards: what is found was found in the database alone.

Not covered: Python's SQLite while it writes (see `other_driver.py`), and disks that lie about flushing.
"""

import argparse
import json
import random
import sys
import tempfile
from dataclasses import asdict, dataclass, field
from pathlib import Path

from mobile.storage import database
from mobile.storage.phone_store import PhoneStore
from tests.builders import FieldPhone
from tests.mobile.pages import page
from tests.mobile.phones import mark, picking_visit
from tests.mobile.storage.cut_disk import NAME, CutDisk, Disk
from tests.mobile.storage.damage import check
from tests.mobile.storage.other_driver import phones_as_usual, phones_on

TOUCHES = 260  # as many as fill the journal once, so that it is moved into the file
STEPS = 21  # of a touch on the disk, about


@dataclass
class Cuts:
    """What the cuts came to. `lost` are touches that were shown and are gone, over all cuts."""

    cuts: int = 0
    shown: int = 0
    cuts_that_lost: int = 0
    lost: int = 0
    most_lost_at_once: int = 0
    beyond_one: int = 0
    failed_checks: list[str] = field(default_factory=list)


class Cutting:
    """A phone at work and the cuts of its power."""

    def __init__(self, folder: Path, chance: random.Random, distance: int) -> None:
        self.came_to = Cuts()
        self._folder = folder
        self._chance = chance
        self._distance = distance
        self._steps = chance.randint(1, distance)
        self._disk = Disk()
        self._disk.at_step = self._step
        self._vfs = CutDisk(self._disk)
        self._shown: list[str] = []

    def live(self, cuts: int, lives: int = 0) -> Cuts:
        """A phone's life from its first start to its end, as often as it takes for so many cuts."""
        while self.came_to.cuts < cuts:
            life = self._folder / f"life-{lives}"
            life.mkdir()
            self._shown.clear()
            with phones_on(NAME):
                self._live_once(life / "phone.db")
            lives += 1
        self._vfs.unregister()
        return self.came_to

    def _live_once(self, file: Path) -> None:
        store = PhoneStore(file)
        store.begin("Keeper (invented)", "Europe/Rome")
        visit = picking_visit(store)
        others = FieldPhone()
        for touch in range(TOUCHES):
            self._shown.append(mark(store, visit))
            if touch % 50 == 10:
                since = store.incoming.cursor()
                store.incoming.take(page([others.garden(f"Dale {touch}")], since=since))
        store.close()

    def _step(self) -> None:
        self._steps -= 1
        if self._steps:
            return
        self._steps = self._chance.randint(1, 2 * self._distance)
        here = self._disk.at_step
        self._disk.at_step = lambda: None
        try:
            with tempfile.TemporaryDirectory(dir=self._folder) as folder:
                self._cut(Path(folder))
        finally:
            self._disk.at_step = here

    def _cut(self, folder: Path) -> None:
        came_to = self.came_to
        came_to.cuts += 1
        came_to.shown += len(self._shown)
        self._disk.after_a_cut(folder, self._chance if came_to.cuts % 2 else None)
        there = self._found(folder / "phone.db")
        lost = len(set(self._shown) - there)
        came_to.lost += lost
        came_to.cuts_that_lost += bool(lost)
        came_to.most_lost_at_once = max(came_to.most_lost_at_once, lost)
        came_to.beyond_one += max(0, len(there - set(self._shown)) - 1)

    def _found(self, file: Path) -> set[str]:
        """The marks that a start on what is left finds, with Python's own SQLite."""
        with phones_as_usual():
            store = PhoneStore(file)
            found = {entry.rec for entry in store.history(100_000) if entry.kind == "mark"}
            saved = store.safe_keeping.saved()
            store.close()
        if (verdict := check(file)) != "ok" or saved:
            self.came_to.failed_checks.append(f"{verdict} {saved}")
        return found


def cut(cuts: int, seed: int, synchronous: str = "FULL", distance: int = STEPS) -> Cuts:
    """So many cuts, `distance` steps of the disk apart on average."""
    names = vars(database)
    own = names["_SETTINGS"]
    names["_SETTINGS"] = tuple(one.replace("=FULL", f"={synchronous}") for one in own)
    try:
        with tempfile.TemporaryDirectory() as folder:
            return Cutting(Path(folder), random.Random(seed), distance).live(cuts)
    finally:
        names["_SETTINGS"] = own


def main() -> int:
    """Cut as asked and print what it came to."""
    parser = argparse.ArgumentParser(description="Cut the power of a phone at work and look at what is left.")
    parser.add_argument("--cuts", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--synchronous", choices=("FULL", "NORMAL"), default="FULL")
    asked = parser.parse_args()
    came_to = cut(asked.cuts, asked.seed, asked.synchronous)
    print(json.dumps({"synchronous": asked.synchronous, **asdict(came_to)}))
    return 0 if not (came_to.lost or came_to.beyond_one or came_to.failed_checks) else 1


if __name__ == "__main__":
    sys.exit(main())

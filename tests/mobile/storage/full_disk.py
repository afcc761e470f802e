"""A phone on a small disk that is full but for a few pages: touches, pages of the group, copies, a new file, an upgrade.

    unshare --mount --map-root-user python -m tests.mobile.storage.full_disk

The disk is a tmpfs of two megabytes, mounted where nobody else sees it; a file takes up all but the last k pages, for
one k after the other. Whatever then fails has to say so in a sentence, lose nothing, and be possible when there is room.
"""

import argparse
import json
import os
import random
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

from mobile.storage import backups, upgrades
from mobile.storage.beside import Beside
from mobile.storage.phone_store import PhoneStore, now_here
from mobile.storage.soundness import is_whole
from shared_models.errors import StoreError
from tests.builders import FieldPhone
from tests.mobile.pages import page
from tests.mobile.phones import mark, picking_visit, total
from tests.mobile.storage import damage, later_release

SIZE = 2 << 20
PAGE = 4096


class SmallDisk:
    """The folder on it, and the file that takes up the rest."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._filler = folder / "filler"

    @property
    def file(self) -> Path:
        """The phone's file."""
        return self.folder / "phone.db"

    @contextmanager
    def full_but_for(self, pages: int) -> Iterator[None]:
        """So many pages are free meanwhile."""
        free = os.statvfs(self.folder).f_bavail - pages
        self._filler.write_bytes(bytes(max(0, free) * PAGE))
        try:
            yield
        finally:
            self._filler.unlink()

    def clear(self) -> None:
        """Nothing is on it."""
        for path in self.folder.iterdir():
            path.unlink()


def refused(work: Callable[[], object]) -> str:
    """The sentence by which something is refused; empty where it is done."""
    try:
        work()
    except StoreError as error:
        return str(error)
    return ""


def touches(disk: SmallDisk, pages: int) -> str:
    """Marks until one is refused; then there is room again."""
    store = _begun(disk)
    visit = picking_visit(store)
    with disk.full_but_for(pages):
        saved, sentence = 0, ""
        while not sentence and saved < 200:
            sentence = refused(lambda: mark(store, visit))
            saved += not sentence
        assert total(store, visit) == saved, "the number does not advance"
    mark(store, visit)
    assert total(store, visit) == saved + 1
    store.clock = lambda: now_here() + timedelta(days=1)
    store.safe_keeping.keep_safe()
    assert len(list(store.safe_keeping._unsent.bodies())) == saved + 5, "what it lacked is in the list again"
    store.close()
    _opens_with(disk, visit, saved + 1)
    return sentence


def pages_of_the_group(disk: SmallDisk, pages: int) -> str:
    """Pages of 40 entries until one is refused."""
    store = _begun(disk)
    visit = picking_visit(store)
    others = FieldPhone()
    said = {"visit": visit, "marks": ["clean"], "source": "picked"}
    replies = [
        page([others.makes("mark", said) for _ in range(40)], since=40 * number) for number in range(5)
    ]
    with disk.full_but_for(pages):
        sentence, taken = "", 0
        for reply in replies:
            sentence = sentence or refused(lambda reply=reply: store.incoming.take(reply))  # type: ignore[misc]
            taken += not sentence
        assert (store.incoming.cursor(), total(store, visit)) == (40 * taken, 40 * taken)
    for reply in replies[taken:]:
        store.incoming.take(reply)
    store.close()
    _opens_with(disk, visit, 200)
    return sentence


def copies(disk: SmallDisk, pages: int) -> str:
    """The next day's copy; the one before stays as it is until there is room."""
    store = _begun(disk)
    visit = picking_visit(store)
    store.safe_keeping.keep_safe()
    beside = Beside(disk.file)
    before = beside.backup(1).read_bytes()
    mark(store, visit)
    store.clock = lambda: now_here() + timedelta(days=1)
    with disk.full_but_for(pages):
        store.safe_keeping.keep_safe()
        made = len(beside.backups()) == 2
        assert beside.backup(1 + made).read_bytes() == before
    store.safe_keeping.keep_safe()
    assert len(beside.backups()) == 2 and all(map(is_whole, beside.backups()))
    assert not list(disk.folder.glob("*backup-new*")), "nothing half made is left"
    assert not beside.suspect.exists(), "no room is no damage"
    store.close()
    _opens_with(disk, visit, 1)
    return "" if made else "no room for a copy"


def copies_that_break(disk: SmallDisk, pages: int) -> str:
    """The same where the room went away after it was asked for."""
    asked, backups.ROOM = backups.ROOM, 0
    try:
        return copies(disk, pages)
    finally:
        backups.ROOM = asked


def new_file(disk: SmallDisk, pages: int) -> str:
    """A damaged file is to be filled anew."""
    store = _begun(disk)
    visit = picking_visit(store)
    for _ in range(30):
        mark(store, visit)
    store.safe_keeping.keep_safe()
    store.close()
    damage.cut_short(disk.file, random.Random(5))
    with disk.full_but_for(pages):
        sentence = refused(lambda: PhoneStore(disk.file).close())
    _opens_with(disk, visit, 30)
    return sentence


def first_start(disk: SmallDisk, pages: int) -> str:
    """A new file on a full disk."""

    def begin() -> None:
        store = PhoneStore(disk.file)
        try:
            store.begin("Keeper (invented)", "Europe/Rome")
        finally:
            store.close()

    with disk.full_but_for(pages):
        sentence = refused(begin)
    if sentence:
        begin()
    store = PhoneStore(disk.file)
    visit = picking_visit(store)
    store.close()
    _opens_with(disk, visit, 0)
    return sentence


def upgrade(disk: SmallDisk, pages: int) -> str:
    """A later release opens the file."""
    store = _begun(disk)
    visit = picking_visit(store)
    for _ in range(30):
        mark(store, visit)
    store.close()
    now, rungs = upgrades.SCHEMA, upgrades.RUNGS
    later_release.become()
    try:
        with disk.full_but_for(pages):
            sentence = refused(lambda: PhoneStore(disk.file).close())
        connection = sqlite3.connect(disk.file)
        assert later_release.is_whole_in(connection) == (
            later_release.NOW if sentence else later_release.LATER
        )
        connection.close()
        _opens_with(disk, visit, 30)
    finally:
        upgrades.SCHEMA, upgrades.RUNGS = now, rungs
    return sentence


def _begun(disk: SmallDisk) -> PhoneStore:
    store = PhoneStore(disk.file)
    store.begin("Keeper (invented)", "Europe/Rome")
    return store


def _opens_with(disk: SmallDisk, visit: str, marks: int) -> None:
    """A start finds everything, and the file is whole."""
    store = PhoneStore(disk.file)
    assert total(store, visit) == marks, (total(store, visit), marks)
    store.close()
    assert damage.check(disk.file) == "ok"


SCENES = (touches, pages_of_the_group, copies, copies_that_break, new_file, first_start, upgrade)


def main() -> int:
    """Each scene with each number of pages left; prints how often each ended in which sentence."""
    parser = argparse.ArgumentParser(description="Work on a disk that is full.")
    parser.add_argument("--pages", type=int, nargs="+", default=list(range(120)))
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "tmpfs", folder], check=True)
        try:
            disk = SmallDisk(Path(folder))
            ended: dict[str, Counter[str]] = {}
            for scene in SCENES:
                ended[scene.__name__] = Counter(_one(scene, disk, pages) for pages in asked.pages)
            print(json.dumps(ended))
        finally:
            subprocess.run(["umount", folder], check=True)
    return 0


def _one(scene: Callable[[SmallDisk, int], str], disk: SmallDisk, pages: int) -> str:
    disk.clear()
    try:
        return scene(disk, pages)
    except BaseException as error:
        error.add_note(f"{scene.__name__} with {pages} pages left")
        raise


if __name__ == "__main__":
    sys.exit(main())

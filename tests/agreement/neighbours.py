"""Three phones of one group, what they do, and an independent account of it. Phones and server are the real ones.

What is recorded stands in `recorded` by entry id. Whatever a person could still have is in the end everywhere; only what
was on one file alone, and went with it when that was put back, may be gone.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from mobile.storage.beside import Beside
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from shared_models.entries import text_hash
from shared_models.errors import NotReachableError, StoreError
from shared_models.protocol import SyncServer
from shared_models.records.gardens import Tree
from tests.agreement.server_side import Backup, ServerSide
from tests.agreement.wire import Bag, Wire
from tests.mobile.phones import SUMMER, SetClock

SEASON = "2026"
START = datetime(2026, 9, 12, 10, 0, tzinfo=SUMMER)
SKEWS = (timedelta(0), timedelta(hours=-1), timedelta(days=700))
JUMPS = (0, 1, 60, 3600, -3600, 86_400 * 700, -86_400 * 700)
PHONES = len(SKEWS)
TROUBLE = 0.35


@dataclass(slots=True)
class Account:
    """What happened, kept beside the program: entry ids by what they are, and who had seen which name of the tree."""

    marks: set[str] = field(default_factory=set)
    undone: dict[str, str] = field(default_factory=dict)  # entry that undoes: mark
    names: dict[str, str | None] = field(default_factory=dict)  # name of the tree: the name that it replaced
    named_by: dict[str, set[str]] = field(
        default_factory=dict
    )  # name of the tree: its entries, as often as it settles
    bad: dict[str, int] = field(default_factory=dict)  # what the server cannot take: phone
    other: set[str] = field(default_factory=set)
    may_be_gone: set[str] = field(default_factory=set)

    @property
    def recorded(self) -> set[str]:
        """Everything that was ever recorded and is no mistake."""
        return self.marks.union(self.undone, self.other, *self.named_by.values())


@dataclass(slots=True)
class Neighbour:
    """One phone: its file, its clock, the phone itself while it is open, and a copy of its file."""

    file: Path
    clock: SetClock
    store: PhoneStore
    copy: Path | None = None

    def close(self) -> None:
        """As an app that ends."""
        self.store.close()

    def reopen(self) -> None:
        """As an app that starts."""
        self.store = PhoneStore(self.file, self.clock)


class Beginning:
    """A group that has begun: a tree, a visit to it, phones that know both. Made once, gone back to before each run."""

    def __init__(self, server: ServerSide, folder: Path) -> None:
        self.server, self.folder = server, folder
        stores = [PhoneStore(self._file(one), SetClock(START)) for one in range(PHONES)]
        for one, store in enumerate(stores):
            store.begin(f"Keeper {one}", "Europe/Rome")
            server.connect(store)
        garden = stores[0].record("garden", {"name": "Hill", "hemisphere": "north"})
        self.tree = stores[0].record("tree", {"label": "first", "garden": garden})
        picking = {"tree": self.tree, "round": "picking", "when": "2026-09-12"}
        self.visit = stores[0].record("visit", picking)
        for store in (*stores, *stores):
            exchange(store, server.door(store))
        self.known = {entry.id for entry in stores[0].history()}
        for store in stores:
            store.close()
        self._backup = server.back_up()

    def neighbours(self, folder: Path) -> list[Neighbour]:
        """The server and its phones as they were, each phone with a clock of its own."""
        self.server.put_back(self._backup, said=False)
        return [self._neighbour(one, folder) for one in range(PHONES)]

    def _neighbour(self, one: int, folder: Path) -> Neighbour:
        file = Path(shutil.copy(self._file(one), folder / f"phone{one}.db"))
        clock = SetClock(START + SKEWS[one])
        return Neighbour(file, clock, PhoneStore(file, clock))

    def _file(self, one: int) -> Path:
        return self.folder / f"template{one}.db"


class Neighbours:
    """The group. Every step is a method that takes a number or two, so that a run is plain data."""

    def __init__(self, beginning: Beginning, folder: Path, seed: int) -> None:
        self.server, self.tree, self.visit = beginning.server, beginning.tree, beginning.visit
        self.phones = beginning.neighbours(folder)
        self.bag = Bag()
        self.account = Account(other=set(beginning.known))
        self._chance = random.Random(seed)  # of the wire alone
        self.backup: Backup = self.server.back_up()

    # ------------------------------------------------------------ what people do
    def mark(self, one: int, _: int) -> None:
        """A fruit is tallied."""
        made = self.phones[one].store.record("mark", {"visit": self.visit, "marks": ["clean"]})
        self.account.marks.add(made)

    def undo(self, one: int, which: int) -> None:
        """A mark that this phone knows is taken back, its own or another's."""
        store = self.phones[one].store
        live = [mark for mark in sorted(self.account.marks) if _is_live(store, mark)]
        if live:
            mark = live[which % len(live)]
            (undoing,) = _made(store, mark, lambda: store.undo(mark))
            self.account.undone[undoing] = mark

    def rename(self, one: int, which: int) -> None:
        """The tree is named anew, over the name that this phone shows."""
        store = self.phones[one].store
        tree = store.get(Tree, self.tree)
        name = f"{one}-{which}-{len(self.account.names)}"
        entries = _made(store, self.tree, lambda: store.record("tree", {"label": name}, self.tree))
        self.account.names[name] = tree.label if tree else None
        self.account.named_by[name] = entries

    def mistake(self, one: int, _: int) -> None:
        """Something is recorded that the server cannot take, as by an app with laxer bounds."""
        store = self.phones[one].store
        made = store.record("number", {"visit": self.visit, "marks": ["clean"], "n": 7})
        (entry,) = store.entries_of(made)
        with store._database.writing() as line:
            (body,) = line.driver.execute("SELECT body FROM entry WHERE id = ?", (entry.id,)).fetchone()
            wrong = body.replace('"n":7', '"n":-7')
            line.driver.execute(
                "UPDATE entry SET body = ?, hash = ? WHERE id = ?", (wrong, text_hash(wrong), entry.id)
            )
        store.safe_keeping._write_unsent_anew()  # as it would stand in the list of what is not shared
        self.account.bad[entry.id] = one

    # ------------------------------------------------------------ what happens between them
    def share(self, one: int, _: int) -> None:
        """An exchange over the wire as it is; whatever breaks it off, the phone goes on as after a pause."""
        store = self.phones[one].store
        wire = Wire(self.server.door(store), self.bag, self._chance, TROUBLE)
        with suppress(NotReachableError):
            exchange(store, wire)

    def meet(self, one: int, _: int) -> None:
        """An exchange on a good line."""
        exchange(self.phones[one].store, self.good_line(one))

    def deliver(self, _: int, which: int) -> None:
        """A request arrives long after its sender gave up."""
        self.bag.deliver(which)

    def set_clock(self, one: int, which: int) -> None:
        """A clock goes on, or jumps."""
        self.phones[one].clock.move(seconds=JUMPS[which % len(JUMPS)])

    def connect_anew(self, one: int, _: int) -> None:
        """A phone is given a new code."""
        self.server.connect(self.phones[one].store)

    # ------------------------------------------------------------ what goes wrong
    def crash(self, one: int, which: int) -> None:
        """The phone stops dead somewhere in an exchange, inside a page as likely as between two."""
        phone = self.phones[one]
        steps = iter(range(20 + which * 37))
        phone.store._database._writer.driver.set_progress_handler(lambda: next(steps, None) is None, 10)
        with suppress(StoreError):
            exchange(phone.store, self.good_line(one))
        phone.store._database._writer.driver.set_progress_handler(None, 0)
        phone.close()
        phone.reopen()

    def copy_phone(self, one: int, _: int) -> None:
        """Somebody makes a copy of a phone."""
        phone = self.phones[one]
        phone.close()
        phone.copy = Path(shutil.copy(phone.file, phone.file.with_suffix(".copy")))
        phone.reopen()

    def put_phone_back(self, one: int, which: int) -> None:
        """A phone returns to its copy, and nobody tells anybody; the list beside its file is there still, or is not."""
        phone = self.phones[one]
        if phone.copy is None:
            return
        phone.close()
        shutil.copy(phone.copy, phone.file)
        for journal in phone.file.parent.glob(f"{phone.file.name}-*"):
            journal.unlink()
        if which % 2 == 0:
            Beside(phone.file).unsent.unlink()
        phone.reopen()
        self._note_what_may_be_gone()

    def copy_server(self, _: int, __: int) -> None:
        """The server's backup."""
        self.backup = self.server.back_up()

    def put_server_back(self, _: int, __: int) -> None:
        """The server returns to its backup by the command for it."""
        self.server.put_back(self.backup, said=True)
        self._note_what_may_be_gone()

    def put_disk_back(self, _: int, __: int) -> None:
        """Somebody puts an old copy of the server's disk in place and tells nobody."""
        self.server.put_back(self.backup, said=False)
        self._note_what_may_be_gone()

    def heal(self) -> None:
        """All troubles are over; everybody exchanges until nobody has news."""
        for _ in range(2):
            for one in range(PHONES):
                self.meet(one, 0)

    def good_line(self, one: int) -> SyncServer:
        """The server as a phone sees it where nothing is between them."""
        return self.server.door(self.phones[one].store)

    def close(self) -> None:
        """Let go of the files."""
        for phone in self.phones:
            phone.close()

    # ------------------------------------------------------------ inside
    def _note_what_may_be_gone(self) -> None:
        """Whatever neither the server nor any phone has now went with the file that was put back."""
        held = set(self.server.entries())
        for phone in self.phones:
            held |= {entry.id for entry in phone.store.history(100_000)}
        self.account.may_be_gone |= self.account.recorded - held


STEPS: dict[str, int] = {  # how likely, for a hundred
    "mark": 26,
    "undo": 8,
    "rename": 14,
    "mistake": 2,
    "share": 24,
    "meet": 4,
    "deliver": 4,
    "set_clock": 4,
    "connect_anew": 1,
    "crash": 4,
    "copy_phone": 2,
    "put_phone_back": 2,
    "copy_server": 2,
    "put_server_back": 2,
    "put_disk_back": 1,
}


def _made(store: PhoneStore, rec: str, touch: Callable[[], object]) -> set[str]:
    """The entries that a touch makes on a record."""
    before = {entry.id for entry in store.entries_of(rec)}
    touch()
    return {entry.id for entry in store.entries_of(rec)} - before


def _is_live(store: PhoneStore, mark: str) -> bool:
    found = store.folded(mark)
    return found is not None and not found.deleted

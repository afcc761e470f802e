"""What a phone is doing when it is killed: recording, taking pages, copying, filling a new file, climbing to a release.

Each scene knows what its child process does for ever, and what has to be so whenever the file is opened again.
"""

import os
import random
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import count
from pathlib import Path

from mobile.storage.beside import Beside
from mobile.storage.phone_store import PhoneStore, now_here
from mobile.storage.soundness import is_whole
from shared_models.protocol import PullReply
from tests.builders import FieldPhone
from tests.mobile.pages import page
from tests.mobile.phones import SetClock, mark, picking_visit
from tests.mobile.storage import damage, later_release

OF_A_PAGE = 25
MOST_OTHERS = 20_000


@dataclass
class Campaign:
    """What the kills so far came to; everything but the first four has to stay zero or empty.

    `amid` counts those that left something half done that can be seen: a copy, a new file, an upgrade.
    """

    kills: int = 0
    reported: int = 0
    killed_while_working: int = 0
    amid: int = 0
    lost: int = 0
    doubled: int = 0
    unreported_beyond_one: int = 0
    failed_checks: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        """Whether nothing was lost, doubled or damaged."""
        return not (self.lost or self.doubled or self.unreported_beyond_one or self.failed_checks)


class Reports:
    """The child's end of the pipe: a line after each thing that it was told is done."""

    def __init__(self, pipe: int) -> None:
        self._pipe = pipe

    def say(self, word: str) -> None:
        """One line, in one piece."""
        os.write(self._pipe, word.encode() + b"\n")


class Scene:
    """Marks alone: the finger goes on tallying. Other scenes do something beside it."""

    longest = 0.030  # [s] after which it is killed at the latest
    one_at_a_time = True  # of what was not reported, one mark at most may be there

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.file = folder / "phone.db"
        self.chance = chance
        self.shown: set[str] = set()
        self._there: set[str] = set()
        store = PhoneStore(self.file, SetClock())
        store.begin("Keeper (invented)", "Europe/Rome")
        self.visit = picking_visit(store)
        self._prepare(store)
        store.close()

    def _prepare(self, store: PhoneStore) -> None:
        """What is there before the first kill."""

    def before_kill(self) -> None:
        """What happens to the files before the child starts."""

    def live(self, reports: Reports) -> None:
        """In the child: open the phone and go on for ever."""
        store = PhoneStore(self.file)
        reports.say("ready")
        while True:
            reports.say(mark(store, self.visit))

    def look(self, reported: list[str], campaign: Campaign) -> None:
        """Open the phone again and count."""
        self.shown.update(word for word in reported if "-" in word)
        campaign.amid += self._is_amid()
        store = PhoneStore(self.file)
        counted = sum(number.n for number in store.tallies(self.visit))
        self._look_closer(store, reported, campaign)
        store.close()
        with closing(sqlite3.connect(self.file)) as connection:
            verdict = connection.execute("PRAGMA quick_check").fetchone()[0]
            own = [
                rec
                for (rec,) in connection.execute("SELECT rec FROM entry WHERE kind='mark' AND seq IS NULL")
            ]
            waiting = connection.execute("SELECT count(*) FROM outbox WHERE kind = 'mark'").fetchone()[0]
        before, self._there = self._there, set(own)
        campaign.lost += len(self.shown - self._there)
        campaign.doubled += len(own) - len(self._there) + int(counted != len(own)) + int(waiting != len(own))
        if self.one_at_a_time:
            marks = sum("-" in word for word in reported)
            campaign.unreported_beyond_one += max(0, len(self._there - before) - marks - 1)
        if verdict != "ok":
            campaign.failed_checks.append(verdict)

    def _is_amid(self) -> bool:
        """Whether the kill left something half done."""
        return False

    def _look_closer(self, store: PhoneStore, reported: list[str], campaign: Campaign) -> None:
        """What only this scene promises."""


class Pages(Scene):
    """Pages of the group come in, a mark between any two."""

    def _prepare(self, store: PhoneStore) -> None:
        others = FieldPhone()
        garden = others.garden("Dale")
        tree = others.tree(garden)
        visit = others.makes("visit", {"tree": tree.rec, "round": "picking", "when": "2026-09-12"})
        self.others = [garden, tree, visit]
        said = {"visit": visit.rec, "marks": ["clean"], "source": "picked"}
        self.others += [others.makes("mark", said) for _ in range(MOST_OTHERS)]
        self.other_visit = visit.rec
        self.taken = 0

    def live(self, reports: Reports) -> None:
        """A page, a mark, a page …"""
        store = PhoneStore(self.file)
        reports.say("ready")
        for reply in self._pages(store.incoming.cursor()):
            store.incoming.take(reply)
            reports.say(f"page {reply.to}")
            reports.say(mark(store, self.visit))
        raise AssertionError("no pages are left; make more")

    def _pages(self, since: int) -> Iterator[PullReply]:
        for start in range(since, len(self.others), OF_A_PAGE):
            yield page(self.others[start : start + OF_A_PAGE], since=start, most=len(self.others))

    def _look_closer(self, store: PhoneStore, reported: list[str], campaign: Campaign) -> None:
        self.taken = max(
            [self.taken, *(int(word.split()[1]) for word in reported if word.startswith("page "))]
        )
        cursor = store.incoming.cursor()
        with store._database.reading() as core:
            numbers = [
                seq for (seq,) in core.exec_driver_sql("SELECT seq FROM entry WHERE seq > 0 ORDER BY seq")
            ]
        campaign.lost += max(0, self.taken - cursor)
        campaign.doubled += int(numbers != list(range(1, cursor + 1)))
        folded = sum(number.n for number in store.tallies(self.other_visit))
        campaign.doubled += int(folded != max(0, cursor - 3))


class Copies(Scene):
    """A copy of the file after every mark, a day between any two."""

    had_one = False

    def live(self, reports: Reports) -> None:
        """A mark, a copy, a mark …"""
        store = PhoneStore(self.file)
        reports.say("ready")
        for day in count():
            reports.say(mark(store, self.visit))
            store.clock = lambda days=day: now_here() + timedelta(days=days)  # type: ignore[misc]
            store.safe_keeping.keep_safe()
            if Beside(self.file).backup(1).exists():
                reports.say("copied")

    def _is_amid(self) -> bool:
        left = list(self.file.parent.glob("phone.db.backup-new-*"))
        for path in left:  # as the phone does with those that are an hour old
            path.unlink()
        return bool(left)

    def _look_closer(self, store: PhoneStore, reported: list[str], campaign: Campaign) -> None:
        copies = Beside(self.file).backups()
        self.had_one = self.had_one or "copied" in reported
        if self.had_one and not copies:
            campaign.failed_checks.append("the only copy is gone")
        campaign.failed_checks += [f"{copy.name} is damaged" for copy in copies if not is_whole(copy)]


class Rescue(Scene):
    """The file is damaged before each start, in another way each time."""

    longest = 0.150  # filling the new file takes that long

    def _prepare(self, store: PhoneStore) -> None:
        for _ in range(150):
            self.shown.add(mark(store, self.visit))
        store.safe_keeping.keep_safe()
        self._there = set(self.shown)

    def before_kill(self) -> None:
        """Spoil the file, and keep the folder small."""
        for old in self.file.parent.glob("phone.db.damaged-*"):
            old.unlink()
        way = self.chance.choice(
            (damage.cut_short, damage.spoil_head, damage.spoil_pages, damage.take_file_away)
        )
        way(self.file, self.chance)
        Beside(self.file).suspect.touch()

    def live(self, reports: Reports) -> None:
        """Say that the new file is begun, then open the phone."""
        reports.say("begun")
        super().live(reports)

    def _is_amid(self) -> bool:
        beside = Beside(self.file)
        return beside.half_rescued.exists() or beside.rescued.exists()


class Upgrade(Scene):
    """A file of this release with a few thousand entries is opened by a later one."""

    longest = 0.060

    def _prepare(self, store: PhoneStore) -> None:
        others = FieldPhone()
        entries = [others.garden()]
        entries += [others.tree(entries[0], str(number)) for number in range(1, 3000)]
        store.incoming.take(page(entries))
        store.incoming.start_over()  # all of it waits, so that the rungs have something to climb over
        with store._database.writing() as line:
            line.driver.execute("DELETE FROM outbox WHERE kind = 'mark'")
        self.entries = store.entries_held()

    def before_kill(self) -> None:
        """Begin from the same file each time."""
        first = self.file.with_name("first.db")
        if not first.exists():
            shutil.copy(self.file, first)
        for old in self.file.parent.glob("phone.db*"):
            old.unlink()
        shutil.copy(first, self.file)
        self.shown.clear()
        self._there = set()

    def live(self, reports: Reports) -> None:
        """Become the later release, then open the phone."""
        later_release.become()
        reports.say("begun")
        super().live(reports)

    def look(self, reported: list[str], campaign: Campaign) -> None:
        """The file is of one release or of the other, wholly, before this release looks at it by opening it."""
        with closing(sqlite3.connect(self.file)) as connection:
            version = later_release.is_whole_in(connection)
        campaign.amid += version != later_release.LATER
        if version != later_release.LATER and "ready" in reported:
            campaign.failed_checks.append("opened, and not upgraded")
        later_release.become()
        super().look(reported, campaign)

    def _look_closer(self, store: PhoneStore, reported: list[str], campaign: Campaign) -> None:
        campaign.lost += max(0, self.entries - store.entries_held())


SCENES: dict[str, type[Scene]] = {
    "marks": Scene,
    "pages": Pages,
    "copies": Copies,
    "rescue": Rescue,
    "upgrade": Upgrade,
}
